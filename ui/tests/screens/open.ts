// Opens the whole tablet at one screen over the fixtures.

import { render, screen } from "@testing-library/svelte";
import App from "../../src/tablet/App.svelte";
import { type JobRoute, writeRoute } from "../../src/tablet/state/route";
import { FakeBridge } from "../stage/fake-bridge";
import { JOB } from "../stage/fixtures";
import * as fixtures from "../stage/fixtures";
import type { Body } from "../../src/generated/Body";
import type { RecordEntry } from "../../src/generated/RecordEntry";

export { fixtures };

/** The tablet at a screen of the job, once it shows. */
export async function open(place: Partial<JobRoute> & Pick<JobRoute, "screen">, bridge = new FakeBridge()): Promise<FakeBridge> {
  history.replaceState(null, "", writeRoute({ at: "job", job: JOB, ...place }));
  render(App, { bridge });
  await screen.findByRole("navigation", { name: /^(Screens of the job|Pantallas del trabajo)$/ });
  return bridge;
}

/** What the only command so far recorded. */
export function recorded(bridge: FakeBridge): RecordEntry {
  const [first, ...more] = bridge.commands;
  if (first === undefined || more.length > 0 || typeof first === "string" || !("record" in first)) {
    throw new Error(`one record was expected, not ${JSON.stringify(bridge.commands)}`);
  }
  return first.record;
}

/** Its body, if it is of this kind. */
export function body<K extends Body["kind"]>(bridge: FakeBridge, kind: K): Extract<Body, { kind: K }> {
  const found = recorded(bridge).body;
  if (found.kind !== kind) throw new Error(`a ${kind} was expected, not ${JSON.stringify(found)}`);
  return found as Extract<Body, { kind: K }>;
}
