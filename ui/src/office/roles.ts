// The roles at the office's pages, from the one who may most.

import type { DeskRole } from "../generated/DeskRole";

export const DESK_ROLES: readonly DeskRole[] = ["administrator", "office", "lead", "technician", "reader"];

/** Whether a role hands out work and changes requests. The server decides; this only leaves out what it would refuse. */
export function dispatches(role: DeskRole | null): boolean {
  return role === "administrator" || role === "office";
}

/** Whether a role lets people and programs in. */
export function administers(role: DeskRole | null): boolean {
  return role === "administrator";
}
