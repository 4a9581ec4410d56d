// Words for pairing with crew mates' tablets.

import type { Known } from "../known";
import type { PAIRING_ERRORS } from "../known-pairing";

export const pairing = {
  title: "Crew mates' tablets",
  hint: "Pair once. From then on the tablets find each other on any Wi-Fi or hotspot, without internet.",
  off: "Tablets cannot be paired while the link is off.",
  none: "No tablet is paired with this one yet.",
  since: (when: string) => `paired ${when}`,
  show: "Show a code",
  showNew: "Show a new code",
  hide: "Hide the code",
  type: "Type a code",
  code: "Code for your crew mate",
  codeHint: (minutes: number) => `Read it out. It is good for one tablet, for ${minutes} minutes.`,
  tries: (n: number) => (n === 1 ? "1 try left" : `${n} tries left`),
  used: "This code was tried too often.",
  here: "This tablet is at",
  which: "Which tablet shows the code?",
  byAddress: "Another, by its address",
  address: "Its address, as it stands under the code",
  typed: "The code on the other tablet",
  digits: "Digits of the code",
  pair: "Pair",
  forget: "Forget",
  forgetThis: (name: string) => `Forget ${name}`,
  forgetHint: "Its link ends, and it gets nothing more until it is paired again. What it has stays on it.",
};

export const pairingErrors: Pick<Known["error"], (typeof PAIRING_ERRORS)[number]> = {
  bad_code: "A code has six digits.",
  no_code: "The other tablet shows no code.",
  code_expired: "The code is too old. Let the other tablet show a new one.",
  code_used_up: "The code was tried too often. Let the other tablet show a new one.",
  wrong_code: "That is not the code that the other tablet shows.",
  pair_garbage: "What answers there is no tablet that can be paired.",
  pair_late: "The other tablet did not answer in time.",
  own_device: "That is this very tablet.",
  known_otherwise: "That tablet is known under another key. Forget it first, on both tablets.",
  not_kept: "The pairing could not be kept.",
  unreachable: "No tablet answers there. Are both on the same Wi-Fi?",
  lost: "The connection was lost.",
  link_off: "The link of this tablet is off.",
  bad_address: "An address is like 192.168.43.1:47800.",
};
