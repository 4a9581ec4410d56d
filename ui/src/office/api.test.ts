import { afterEach, expect, test, vi } from "vitest";
import { OfficeApi } from "./api";

afterEach(() => vi.unstubAllGlobals());

const session = (csrf: string | null): object => ({ name: "Ines", role: "office", csrf, console: csrf === null, first_start: false });

/** Answers each call with the next body, and keeps what was asked. */
function server(...bodies: object[]): { path: string; init: RequestInit }[] {
  const asked: { path: string; init: RequestInit }[] = [];
  vi.stubGlobal("fetch", async (path: string, init: RequestInit) => {
    asked.push({ path, init });
    return new Response(JSON.stringify(bodies[asked.length - 1]), { status: 200 });
  });
  return asked;
}

test("whoever came by the address line asks with its token", async () => {
  const asked = server(session(null), []);
  const api = new OfficeApi("abc");
  await api.session();
  await api.people();
  expect(asked.map((each) => each.init.headers)).toEqual([{ Authorization: "Bearer abc" }, { Authorization: "Bearer abc" }]);
});

test("whoever signed in asks with what the session told the page, and the address line's token is put away", async () => {
  const asked = server(session("own-page"), []);
  const forget = vi.fn();
  const api = new OfficeApi("abc", forget);
  await api.signIn({ name: "Ines", password: "a password for tests" });
  await api.revokeToken("1/2");
  expect(forget).toHaveBeenCalledOnce();
  expect(asked[1]).toMatchObject({ path: "/api/tokens/1%2F2", init: { method: "DELETE", headers: { "X-Turnwise-Csrf": "own-page" } } });
});

test("signed out, nothing is sent that opens anything", async () => {
  const asked = server(session("own-page"), { ...session(null), name: null, role: null }, []);
  const api = new OfficeApi("");
  await api.session();
  await api.signOut();
  await api.home();
  expect(asked[2]?.init.headers).toEqual({});
});
