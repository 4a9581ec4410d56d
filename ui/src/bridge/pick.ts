// Which shell this page runs in.

import type { Bridge } from "./bridge";
import { HttpBridge } from "./http";
import { takeToken } from "./token";

/** The native shell's bridge where there is one, else the browser shell's. */
export async function pickBridge(): Promise<Bridge> {
  if ("__TAURI_INTERNALS__" in window) {
    const { TauriBridge } = await import("./tauri");
    return new TauriBridge();
  }
  return new HttpBridge(takeToken(location, history, sessionStorage));
}
