import { expect, test } from "vitest";
import { parts } from "./bring";

test("the parts of some bytes, joined, are those bytes", () => {
  const bytes = Uint8Array.from({ length: 207 }, (_, at) => (at * 31) % 256);
  const made = parts(bytes, 100);
  expect(made).toHaveLength(3);
  const back = made.flatMap((part) => [...atob(part)].map((each) => each.charCodeAt(0)));
  expect(Uint8Array.from(back)).toEqual(bytes);
});

test("nothing is one part of nothing", () => {
  expect(parts(new Uint8Array())).toEqual([""]);
});
