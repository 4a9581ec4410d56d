// The browser shell: JSON over loopback HTTP, and a WebSocket for word of changes.

import type { Command } from "../generated/Command";
import type { Query } from "../generated/Query";
import type { Reply } from "../generated/Reply";
import type { View } from "../generated/View";
import { type Bridge, NoAnswer, Refused, refusalIn } from "./bridge";
import { listen } from "./changes";

/** The header that carries a token. */
export function bearer(token: string): Record<string, string> {
  return { Authorization: `Bearer ${token}` };
}

/** Asks the server that this page came from. Rejects with {@link Refused} or {@link NoAnswer}. */
export async function ask<T>(
  access: Readonly<Record<string, string>>,
  path: string,
  body?: unknown,
  method: "GET" | "POST" | "DELETE" = body === undefined ? "GET" : "POST",
): Promise<T> {
  const headers: Record<string, string> = { ...access };
  const request: RequestInit = { method, headers };
  if (body !== undefined) {
    headers["Content-Type"] = "application/json";
    request.body = JSON.stringify(body);
  }
  let response: Response;
  let text: string;
  try {
    response = await fetch(path, request);
    text = await response.text();
  } catch (cause) {
    throw new NoAnswer(path, { cause });
  }
  if (response.ok) return JSON.parse(text) as T;
  throw refusalIn(text) ?? new Refused(`http_${response.status}`, text);
}

/** Where word of changes comes from. */
export function changesAddress(location: Location, token: string): string {
  const scheme = location.protocol === "https:" ? "wss:" : "ws:";
  // Without a token the browser's cookie says who asks.
  const asked = token === "" ? "" : `?token=${encodeURIComponent(token)}`;
  return `${scheme}//${location.host}/api/changes${asked}`;
}

/** A tablet behind the browser shell. */
export class HttpBridge implements Bridge {
  readonly #token: string;

  constructor(token: string) {
    this.#token = token;
  }

  command(command: Command): Promise<Reply> {
    return ask(bearer(this.#token), "/api/command", command);
  }

  view(query: Query): Promise<View> {
    return ask(bearer(this.#token), "/api/view", query);
  }

  subscribe(changed: () => void): () => void {
    return listen(changesAddress(location, this.#token), changed);
  }
}
