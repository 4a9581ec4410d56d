import { expect, test } from "vitest";
import { Prefs } from "./prefs.svelte";

function keeper(first?: string): Storage {
  let kept: string | null = first ?? null;
  return {
    getItem: () => kept,
    setItem: (_key: string, value: string) => {
      kept = value;
    },
  } as unknown as Storage;
}

test("what a person prefers is there at the next start", () => {
  const storage = keeper();
  const before = new Prefs(storage);
  before.turns = "flats";
  before.light = "vault";
  before.viewFrom = "behind";
  before.language = "es";
  const after = new Prefs(storage);
  expect([after.turns, after.light, after.viewFrom, after.language]).toEqual(["flats", "vault", "behind", "es"]);
});

test("the first start speaks the browser's language where it can", () => {
  expect(new Prefs(keeper(), ["es-MX", "en"]).language).toBe("es");
  expect(new Prefs(keeper(), ["fr"]).language).toBe("en");
});

test("kept nonsense is left out, the rest holds", () => {
  const prefs = new Prefs(keeper('{"turns":"gradians","light":"sun"}'));
  expect([prefs.turns, prefs.light]).toEqual(["fraction", "sun"]);
  expect(new Prefs(keeper("not json")).turns).toBe("fraction");
});
