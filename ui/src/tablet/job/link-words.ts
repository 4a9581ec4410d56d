// The link in a few words.

import type { Links } from "../../generated/Links";
import { t } from "../../words/words.svelte";

/** Who is linked now, or that nobody is. */
export function linkWords(links: Links): string {
  if (!links.on) return t().lid.linkOff;
  const linked = links.peers.filter((peer) => peer.linked);
  if (linked.length === 0) return t().lid.notLinked;
  return t().lid.linked(linked.map((peer) => (peer.office ? t().crew.office : (peer.person ?? peer.name))).join(", "));
}
