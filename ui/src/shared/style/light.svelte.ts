// Sun or Vault on the page, by hand or as the system has it.

import { prefs } from "../prefs/prefs.svelte";

/** Keeps the page in the light that is wanted. To be called while a component is set up. */
export function followLight(): void {
  const dark = window.matchMedia("(prefers-color-scheme: dark)");
  let systemDark = $state(dark.matches);
  $effect(() => {
    const changed = (event: MediaQueryListEvent): void => {
      systemDark = event.matches;
    };
    dark.addEventListener("change", changed);
    return () => dark.removeEventListener("change", changed);
  });
  $effect(() => {
    const light = prefs.light === "system" ? (systemDark ? "vault" : "sun") : prefs.light;
    document.documentElement.dataset.light = light;
    document.documentElement.lang = prefs.language;
  });
}
