import { expect, test } from "vitest";
import { isOneEntry, wantAt, wantOf } from "./want";

test("a missing reading names its point and what it is for", () => {
  expect(wantOf("reading:outlet:as_found:flowing")).toEqual({ kind: "reading", name: "outlet", purpose: "as_found", zero: null });
  expect(wantOf("reading:spool:within_limit:after:set.cock")).toMatchObject({ name: "spool", purpose: null });
});

test("a code about nothing in particular has no name", () => {
  expect(wantOf("request")).toEqual({ kind: "request", name: "", purpose: null, zero: null });
});

test("of several that would do, the first that is put right on a screen is wanted", () => {
  expect(wantOf("step:entry.enter|reading:outlet:as_left|particular:plate")).toMatchObject({
    kind: "reading", name: "outlet", purpose: "as_left",
  });
  expect(wantOf("step:a.b|choice:c.d:yes")).toMatchObject({ kind: "step", name: "a.b" });
});

test("a gauge whose zero is to be checked says when", () => {
  expect(wantOf("gauge:inlet:zero_before")).toMatchObject({ kind: "gauge", name: "inlet", zero: "before" });
  expect(wantOf("gauge:outlet:zero_after")).toMatchObject({ name: "outlet", zero: "after" });
  expect(wantOf("gauge:outlet")).toMatchObject({ zero: null });
});

test("a whole line-up takes more than one entry, anything else takes one", () => {
  expect(isOneEntry(wantOf("line_up:normal"))).toBe(false);
  expect(isOneEntry(wantOf("position:bypass:shut"))).toBe(true);
});

test("a place without a want wants nothing", () => {
  expect(wantAt({ at: "job", job: "1", screen: "readings" })).toBeNull();
  expect(wantAt({ at: "home" })).toBeNull();
});
