// The words in the language that the person prefers. Figures are never put into words or another notation.

import type { Figure } from "../generated/Figure";
import type { Subject } from "../generated/Subject";
import type { Text } from "../generated/Text";
import { prefs } from "../shared/prefs/prefs.svelte";
import type { Catalogue } from "./catalogue";
import { en } from "./en";
import { es } from "./es";
import type { Family } from "./known";

const CATALOGUES: Record<"en" | "es", Catalogue> = { en, es };

/** The catalogue in hand. Read it inside markup or a derived value, so that it follows the language. */
export function t(): Catalogue {
  return CATALOGUES[prefs.language];
}

/** Both languages come from the procedure; this is the one in hand. */
export function said(text: Text): string {
  return text[prefs.language];
}

/** Words for a code of a family, or the code itself where this version has none: visible, never blank. */
export function code(family: Family, value: string): string {
  const words: Readonly<Record<string, string>> = t().codes.known[family];
  return Object.hasOwn(words, value) ? (words[value] ?? value) : value;
}

/** Words for a code of whatever family, where the view does not say which; the code itself else. */
export function anyCode(value: string): string {
  const { known, ...typed } = t().codes;
  const families: readonly Readonly<Record<string, string>>[] = [...Object.values(typed), ...Object.values(known)];
  return families.find((words) => Object.hasOwn(words, value))?.[value] ?? value;
}

/** What something is called. */
export function subject(about: Subject): string {
  return "text" in about ? said(about.text) : anyCode(about.code);
}

/** A figure for the eye: the digits exactly as they were typed, and the unit. */
export function figure(value: Figure): string {
  const single = /^[-+]?(1|\d+\/\d+)$/.test(value.digits);
  if (value.unit === "ratio") return value.digits;
  if (value.unit === "turn") return t().setting.turnsOf(value.digits, single);
  if (value.unit === "flat") return t().setting.flatsOf(value.digits, single);
  return `${value.digits} ${unit(value.unit)}`.replace(" °", "°");
}

/** A unit's symbol for the eye. A newer program's unit shows as it is written. */
export function unit(value: Figure["unit"]): string {
  return t().codes.unit[value] ?? value;
}

/** A wall clock time, short: the time alone today, with its date else. What cannot be read shows as it is. */
export function time(at: string, now: Date = new Date()): string {
  const when = new Date(at);
  if (Number.isNaN(when.getTime())) return at;
  const today = when.toDateString() === now.toDateString();
  const clock: Intl.DateTimeFormatOptions = { hour: "2-digit", minute: "2-digit" };
  return new Intl.DateTimeFormat(prefs.language, today ? clock : { day: "numeric", month: "short", ...clock }).format(when);
}

/** A day and a time, from seconds since 1970. */
export function moment(seconds: number): string {
  return new Intl.DateTimeFormat(prefs.language, { dateStyle: "medium", timeStyle: "short" }).format(new Date(seconds * 1000));
}

/** A date without a time. */
export function date(day: string): string {
  const when = new Date(`${day.slice(0, 10)}T12:00:00`);
  if (Number.isNaN(when.getTime())) return day;
  return new Intl.DateTimeFormat(prefs.language, { day: "numeric", month: "short", year: "numeric" }).format(when);
}
