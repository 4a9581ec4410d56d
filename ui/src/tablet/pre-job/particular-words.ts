// A particular in words.

import type { ParticularValue } from "../../generated/ParticularValue";
import type { ParticularView } from "../../generated/ParticularView";
import { anyCode, figure, said } from "../../words/words.svelte";

/** Its name, in the words of the procedure where it has them. */
export function particularName(particular: Pick<ParticularView, "label" | "name">): string {
  return particular.label === null ? anyCode(particular.name) : said(particular.label);
}

/** A figure as read, or the words; words that are one of the choices are put into the person's language. */
export function particularWords(particular: Pick<ParticularView, "choices">, value: ParticularValue): string {
  if ("figure" in value) return figure(value.figure);
  const chosen = particular.choices.find((choice) => choice.id === value.text);
  return chosen ? said(chosen.say) : value.text;
}
