import { afterEach, expect, test } from "vitest";
import { prefs } from "../shared/prefs/prefs.svelte";
import { en } from "./en";
import { es } from "./es";
import { type Family, KNOWN } from "./known";
import { anyCode, code, figure, time } from "./words.svelte";

afterEach(() => {
  prefs.language = "en";
});

const CATALOGUES = { en, es } as const;

test.each(Object.keys(CATALOGUES) as ("en" | "es")[])("every known code has words in %s", (language) => {
  const known: Record<string, Record<string, string>> = CATALOGUES[language].codes.known;
  const blank = (Object.keys(KNOWN) as Family[]).flatMap((family) =>
    KNOWN[family].filter((each) => !known[family]?.[each]?.trim()).map((each) => `${family}.${each}`),
  );
  expect(blank).toEqual([]);
});

test("no words are left empty in either language", () => {
  const blanks = (words: object, path: string): string[] =>
    Object.entries(words).flatMap(([key, value]) =>
      typeof value === "object" && value !== null ? blanks(value as object, `${path}.${key}`)
        : typeof value === "string" && value.trim() === "" ? [`${path}.${key}`] : [],
    );
  expect([...blanks(en, "en"), ...blanks(es, "es")]).toEqual([]);
});

test("a code of tomorrow shows as itself", () => {
  expect(code("error", "a_code_of_tomorrow")).toBe("a_code_of_tomorrow");
  expect(anyCode("toString")).toBe("toString");
});

test("a figure keeps its digits in every language", () => {
  prefs.language = "es";
  expect(figure({ digits: "131.50", unit: "psi" })).toBe("131.50 psi");
  expect(figure({ digits: "-1 1/8", unit: "turn" })).toBe("-1 1/8 vueltas");
  expect(figure({ digits: "1/2", unit: "turn" })).toBe("1/2 vuelta");
});

test("a time that cannot be read shows as it is", () => {
  expect(time("yesterday")).toBe("yesterday");
});
