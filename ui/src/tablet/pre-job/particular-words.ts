// A particular in words.

import type { ParticularValue } from "../../generated/ParticularValue";
import { code, figure } from "../../words/words.svelte";

/** A figure as read, or the words; words that are one of the choices are put into the person's language. */
export function particularWords(value: ParticularValue): string {
  return "figure" in value ? figure(value.figure) : code("choice", value.text);
}
