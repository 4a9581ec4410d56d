// Why two tablets were not paired: the codes known so far.

export const PAIRING_ERRORS = [
  "bad_code", "no_code", "code_expired", "code_used_up", "wrong_code", "pair_garbage", "pair_late", "own_device",
  "known_otherwise", "not_kept", "unreachable", "lost", "link_off", "bad_address",
] as const;
