// Words of every screen.

export const common = {
  product: "Turnwise",
  save: "Save",
  cancel: "Cancel",
  close: "Close",
  back: "Back",
  change: "Change",
  yes: "Yes",
  no: "No",
  none: "None",
  notKnown: "Not known",
  notSaid: "Nobody has said",
  saved: "Saved on this tablet",
  loading: "Fetching",
  reason: "Why",
  reasonHint: "What was looked at, who was asked. It goes into the record.",
  optional: "if known",
  goTo: (screen: string) => `Go to ${screen}`,
  by: (who: string) => `by ${who}`,
  keyedBy: (who: string, keyed: string) => `called by ${who}, keyed by ${keyed}`,
  count: (n: number) => (n === 1 ? "1 entry" : `${n} entries`),
};

export const trouble = {
  title: "That did not work",
  safe: "Nothing of it was saved. Everything saved before is safe, and what you typed is still here.",
  next: "Look at it again, then press once more.",
  noAnswer: "The program on this tablet does not answer.",
  noAnswerSafe: "What was saved is safe. What you typed is still here. Whether the last press was saved is not known.",
  noAnswerNext: "Wait a moment and look at Readings before pressing again. If it stays like this, start the program again.",
  noToken: "This page was opened without its start key.",
  noTokenNext: "Open the full address that was printed when the program started.",
  technical: (code: string) => `Code: ${code}`,
};

export const lid = {
  jobs: "All jobs",
  iAm: (name: string) => `I am ${name}`,
  callsKeys: (caller: string, me: string) => `${caller} calls, ${me} keys`,
  chooseCaller: "Whose words go in?",
  callerHint: "You key. Choose who saw it or did it. It stays so until you change it.",
  mine: (name: string) => `My own (${name})`,
  calledBy: (name: string) => `Called by ${name}`,
  onlyHere: (n: number) => `${n} only here`,
  allSafe: "All at the office",
  withMate: (n: number) => `${n} with a mate`,
  linked: (names: string) => `Linked: ${names}`,
  notLinked: "No link",
  linkOff: "Link switched off",
  where: "Where are my readings?",
  whereHint: "Entries go on to mate and office by themselves, whenever there is a link.",
  onlyHereLong: "Only on this tablet",
  withMateLong: "With a crew mate too",
  atOfficeLong: "At the office",
  light: "Light",
  mate: "Mate",
  changeValve: "Valve in hand",
  screens: "Screens of the job",
};

export const alarm = {
  title: "Stop. The zone is over its limit.",
  says: (place: string, figure: string, limit: string) => `${place} reads ${figure}. The limit is ${limit}.`,
  voice: "Tell your mate by voice, now.",
  card: "Runaway card",
};

export const changed = {
  title: "The request changed after the valve was set",
  says: (was: string, now: string) => `Set for ${was}. Asked now: ${now}.`,
  next: "Set it to the new request, or settle it under Close out with a reason.",
};

export const runaway = {
  open: "Runaway",
  title: "If the outlet climbs",
  hint: "In this order. Voice first: tell your mate before you touch anything.",
  empty: "This procedure has no card. Shut the downstream block valve, then the upstream one.",
};

export const putBack = {
  open: "Put it back",
  title: "Back to as found",
  nothing: "Everything on record stands as it was found.",
  screws: "Screws",
  positions: "Cocks and block valves",
  controls: "Speed controls",
  wasNow: (found: string, now: string) => `Found ${found}, now ${now}`,
};

export const readBack = {
  title: "Read it back",
  hint: (name: string) => `Say it aloud. Save when ${name} answers yes.`,
  who: (caller: string, me: string) => `Called by ${caller}, keyed by ${me}`,
  confirm: "Yes, save it",
  wrong: "No, change it",
};

export const tablet = {
  title: "This tablet",
  language: "Language",
  light: "Light",
  lights: { system: "As the system", sun: "Sun", vault: "Vault" },
  turns: "Turns are said in",
  turnWords: { fraction: "Fractions", degrees: "Degrees", flats: "Flats" },
  me: "Who uses it",
};
