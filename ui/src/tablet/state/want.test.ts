import { expect, test } from "vitest";
import { wantAt, wantOf } from "./want";

test("a missing reading names its point and what it is for", () => {
  expect(wantOf("reading:outlet:as_found:flowing")).toEqual({ kind: "reading", name: "outlet", purpose: "as_found" });
  expect(wantOf("reading:spool:within_limit:after:set.cock")).toMatchObject({ name: "spool", purpose: null });
});

test("a code about nothing in particular has no name", () => {
  expect(wantOf("request")).toEqual({ kind: "request", name: "", purpose: null });
});

test("a place without a want wants nothing", () => {
  expect(wantAt({ at: "job", job: "1", screen: "readings" })).toBeNull();
  expect(wantAt({ at: "home" })).toBeNull();
});
