import { expect, test, vi } from "vitest";
import { takeToken } from "./token";

function keeper(): Storage {
  const kept = new Map<string, string>();
  return {
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => kept.set(key, value),
  } as unknown as Storage;
}

const at = (hash: string): Location => ({ hash, pathname: "/", search: "" }) as Location;

test("the token is taken out of the address and kept for the tab", () => {
  const kept = keeper();
  const replaceState = vi.fn();
  const history = { replaceState } as unknown as History;
  expect(takeToken(at("#token=00ff"), history, kept)).toBe("00ff");
  expect(replaceState).toHaveBeenCalledWith(null, "", "/#/");
  expect(takeToken(at("#/job/1"), history, kept)).toBe("00ff");
});

test("without a token there is none, and the address stays", () => {
  const replaceState = vi.fn();
  expect(takeToken(at("#/"), { replaceState } as unknown as History, keeper())).toBe("");
  expect(replaceState).not.toHaveBeenCalled();
});
