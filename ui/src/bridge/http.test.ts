import { afterEach, expect, test, vi } from "vitest";
import { NoAnswer, Refused } from "./bridge";
import { HttpBridge, changesAddress } from "./http";

afterEach(() => vi.unstubAllGlobals());

function answer(status: number, body: string): ReturnType<typeof vi.fn> {
  const fetched = vi.fn(async () => new Response(body, { status }));
  vi.stubGlobal("fetch", fetched);
  return fetched;
}

test("a command goes out as JSON with the start token", async () => {
  const fetched = answer(200, '{"job":null,"entries":[]}');
  const reply = await new HttpBridge("abc").command({ set_me: { name: "Ana" } });
  expect(reply.entries).toEqual([]);
  expect(fetched).toHaveBeenCalledWith("/api/command", {
    method: "POST",
    headers: { Authorization: "Bearer abc", "Content-Type": "application/json" },
    body: '{"set_me":{"name":"Ana"}}',
  });
});

test("a refusal keeps its code and its words", async () => {
  answer(409, '{"code":"record_changed","message":"the record is another by now"}');
  const refused = await new HttpBridge("abc").view("home").catch((error: unknown) => error);
  expect(refused).toBeInstanceOf(Refused);
  expect(refused).toMatchObject({ code: "record_changed", message: "the record is another by now" });
});

test("a refusal that is no JSON is told by its status", async () => {
  answer(401, "no token");
  await expect(new HttpBridge("").view("home")).rejects.toMatchObject({ code: "http_401" });
});

test("a broken connection is no answer, which is not the same as a no", async () => {
  vi.stubGlobal("fetch", vi.fn(async () => Promise.reject(new TypeError("network"))));
  await expect(new HttpBridge("abc").view("home")).rejects.toBeInstanceOf(NoAnswer);
});

test("word of changes comes from the host of the page, with the token", () => {
  const page = { protocol: "http:", host: "127.0.0.1:7700" } as Location;
  expect(changesAddress(page, "ab")).toBe("ws://127.0.0.1:7700/api/changes?token=ab");
});
