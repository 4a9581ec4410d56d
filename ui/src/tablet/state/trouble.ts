// What went wrong, as a screen tells it.

import { NoAnswer, Refused } from "../../bridge/bridge";

export type Trouble =
  | { readonly what: "refused"; readonly code: string; readonly message: string }
  | { readonly what: "no_answer" };

/** Turns what a bridge threw into what a screen tells. Anything else is a fault of ours and goes on up. */
export function troubleOf(thrown: unknown): Trouble {
  if (thrown instanceof Refused) return { what: "refused", code: thrown.code, message: thrown.message };
  if (thrown instanceof NoAnswer) return { what: "no_answer" };
  throw thrown;
}
