// The start token: it comes once, behind the `#` of the address, and stays in this browser tab only.

const KEY = "turnwise.token";

/** Takes the token out of the address, so that it is not left in the history, and keeps it for this tab. */
export function takeToken(location: Location, history: History, kept: Storage): string {
  const found = /^#token=([0-9a-f]+)$/i.exec(location.hash)?.[1];
  if (found !== undefined) {
    kept.setItem(KEY, found);
    history.replaceState(null, "", `${location.pathname}${location.search}#/`);
    return found;
  }
  return kept.getItem(KEY) ?? "";
}

/** Forgets the token of this tab. */
export function dropToken(kept: Storage): void {
  kept.removeItem(KEY);
}
