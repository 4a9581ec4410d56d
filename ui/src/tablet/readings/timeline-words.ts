// An entry of the story in words.

import type { TimelineItem } from "../../generated/TimelineItem";
import { anyCode, figure, subject, t } from "../../words/words.svelte";

/** What kind of entry, and what it is about. */
export function headingOf(item: Pick<TimelineItem, "kind" | "subject">): string {
  const kinds: Readonly<Record<string, string>> = t().codes.kind;
  const kind = kinds[item.kind] ?? item.kind;
  return item.subject ? `${kind}: ${subject(item.subject)}` : kind;
}

/** What it says. */
export function valueOf(item: Pick<TimelineItem, "value">): string {
  const value = item.value;
  if (value === "none") return "";
  if ("figure" in value) return figure(value.figure);
  return "words" in value ? value.words : anyCode(value.code);
}
