// Keeps the screen awake: a wet glove does not wake a tablet. The system may take it back at any time; it is asked
// for again as soon as the page is seen.

/** Asks the system to keep the screen on for as long as the page is seen. Returns what ends it. */
export function keepAwake(page: Document = document, system: Pick<Navigator, "wakeLock"> = navigator): () => void {
  let held: WakeLockSentinel | null = null;
  let ended = false;

  const ask = async (): Promise<void> => {
    if (page.visibilityState !== "visible" || (held !== null && !held.released)) return;
    // A webview without it, or a battery that is low: the screen goes dark as it always did.
    const got = await system.wakeLock?.request("screen").catch(() => null);
    held = got ?? null;
    if (ended) void held?.release();
  };
  const seen = (): void => void ask();

  page.addEventListener("visibilitychange", seen);
  seen();
  return () => {
    ended = true;
    page.removeEventListener("visibilitychange", seen);
    void held?.release();
  };
}
