// What a key does to the digits. They are text from the first key to the record; nothing here makes a number of them.

export type Key = "0" | "1" | "2" | "3" | "4" | "5" | "6" | "7" | "8" | "9" | "." | "-" | "erase" | "clear";

/** As many characters as any gauge on a job shows. */
export const MOST = 9;

/** The digits after one more key. A key that makes no sense there changes nothing. */
export function press(digits: string, key: Key, sign: boolean): string {
  switch (key) {
    case "erase":
      return digits === "-0." ? "-" : digits.slice(0, -1);
    case "clear":
      return "";
    case "-":
      if (!sign) return digits;
      return digits.startsWith("-") ? digits.slice(1) : `-${digits}`;
    case ".":
      if (digits.includes(".") || digits.length >= MOST) return digits;
      return digits === "" || digits === "-" ? `${digits}0.` : `${digits}.`;
    default:
      return digits.length >= MOST ? digits : digits + key;
  }
}

/** The figure's digits once nothing more is typed: a point with nothing behind it says nothing. */
export function finished(digits: string): string {
  return digits.endsWith(".") ? digits.slice(0, -1) : digits;
}

/** Whether they are a figure yet. */
export function isFigure(digits: string): boolean {
  return /^-?\d+(\.\d*)?$/.test(digits);
}

/** The key of a keyboard, where there is one. */
export function keyOf(pressed: string): Key | null {
  if (/^[0-9.-]$/.test(pressed)) return pressed as Key;
  if (pressed === ",") return ".";
  if (pressed === "Backspace") return "erase";
  if (pressed === "Delete") return "clear";
  return null;
}
