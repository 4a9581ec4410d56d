// How a screen talks to the core: one door for commands, one for views, and word when something changed.

import type { Command } from "../generated/Command";
import type { Query } from "../generated/Query";
import type { Reply } from "../generated/Reply";
import type { View } from "../generated/View";

/** The core as a screen sees it. Both calls reject with a {@link Refused} or a {@link NoAnswer}, nothing else. */
export interface Bridge {
  command(command: Command): Promise<Reply>;
  view(query: Query): Promise<View>;
  /** Calls back whenever anything shown may have changed. Returns what ends it. */
  subscribe(changed: () => void): () => void;
}

/** The core answered, and the answer is no. */
export class Refused extends Error {
  override readonly name = "Refused";

  constructor(
    /** A stable code, for the catalogue. */
    readonly code: string,
    message: string,
  ) {
    super(message);
  }
}

/** No answer came: nobody knows whether the command was carried out. */
export class NoAnswer extends Error {
  override readonly name = "NoAnswer";
}

/** Reads a refusal out of whatever a shell handed over; `null` where it is none. */
export function refusalIn(answer: unknown): Refused | null {
  const value: unknown = typeof answer === "string" ? parsed(answer) : answer;
  if (typeof value !== "object" || value === null || !("code" in value)) return null;
  const message = "message" in value ? String(value.message) : "";
  return new Refused(String(value.code), message);
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
