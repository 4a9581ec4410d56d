import { expect, test } from "vitest";
import type { Check } from "../../generated/Check";
import type { ParticularView } from "../../generated/ParticularView";
import { missingOf } from "./missing";

function check(...names: string[]): Check {
  return {
    code: "choked_flow", about: null, verdict: "not_known", figures: [], limits: [], notes: [],
    rule: { kind: "standard", cites: "iec60534" },
    not_known: names.map((name) => ({ name, because: "not_said" })),
  };
}

const recovery: ParticularView = {
  asset: "a1", name: "recovery", units: ["ratio"], label: null, choices: [], for_checks: true,
  standing: { agreement: "never", values: [], replaces: [] },
};

test("what several checks miss is asked for once, with the particular to key it in", () => {
  expect(missingOf([check("request", "recovery"), check("recovery", "gauge")], [recovery])).toEqual([
    { name: "request", particular: null },
    { name: "recovery", particular: recovery },
    { name: "gauge", particular: null },
  ]);
});

test("the request is put right as a whole, and what is keyed in elsewhere is not offered", () => {
  expect(missingOf([check("zone_limit", "request", "request_beside")], [])).toEqual([{ name: "request", particular: null }]);
  expect(missingOf([check("zone_limit")], [])).toEqual([{ name: "zone_limit", particular: null }]);
});
