import { expect, test } from "vitest";
import { keepAwake } from "./awake";

/** A system that can keep a screen awake, and says how often it was asked and whether it still does. */
function system(): { navigator: Pick<Navigator, "wakeLock">; asked: () => number; awake: () => boolean; letGo: () => void } {
  let asked = 0;
  let current: { released: boolean } = { released: true };
  const request = async (): Promise<WakeLockSentinel> => {
    asked += 1;
    const sentinel = { released: false, release: async () => void (sentinel.released = true) };
    current = sentinel;
    return sentinel as unknown as WakeLockSentinel;
  };
  return {
    navigator: { wakeLock: { request } as unknown as WakeLock },
    asked: () => asked,
    awake: () => !current.released,
    letGo: () => void (current.released = true),
  };
}

const seen = (): unknown => document.dispatchEvent(new Event("visibilitychange"));
const settled = (): Promise<void> => Promise.resolve().then(() => undefined).then(() => undefined);

test("a job on the screen keeps it awake until the job is left", async () => {
  const { navigator, awake } = system();
  const end = keepAwake(document, navigator);
  await settled();
  expect(awake()).toBe(true);
  end();
  expect(awake()).toBe(false);
});

test("what the system took back is asked for again when the page is seen, and only then", async () => {
  const { navigator, asked, letGo } = system();
  const end = keepAwake(document, navigator);
  await settled();
  seen();
  await settled();
  expect(asked()).toBe(1);
  letGo();
  seen();
  await settled();
  expect(asked()).toBe(2);
  end();
});

test("a system that cannot keep a screen awake is left alone", () => {
  expect(() => keepAwake(document, {} as Pick<Navigator, "wakeLock">)()).not.toThrow();
});
