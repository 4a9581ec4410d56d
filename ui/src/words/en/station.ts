// Words of earlier visits, of procedure files and of stations of several valves.

import type { Drifted } from "../../generated/Drifted";
import type { RateChanged } from "../../generated/RateChanged";

const drifted: Record<Drifted, string> = {
  stood: "It stood",
  drifted: "It drifted",
  not_flowing: "Read without flow: it does not show the setting",
};

const rateChanged: Record<RateChanged, string> = {
  not_yet: "Nothing learned yet on this visit",
  same: "The same within a fifth",
  changed: "Changed: another spring, friction, or a starved valve",
};

export const past = {
  title: "Earlier visits",
  first: "First visit on record",
  firstNext: "Nothing to compare with. What you leave today is what the next visit starts from.",
  drift: "Since the last visit",
  left: "As left then",
  found: "As found now",
  change: "Change",
  allowed: (figure: string) => `up to ${figure} is no drift`,
  drifted,
  rate: "Rate of the screw",
  then: "Then",
  now: "Now",
  rateChanged,
  predicted: "On line it should read",
  predictedFrom: (setting: string, difference: string) => `static ${setting}, last difference ${difference}`,
  requested: "Asked",
  asFound: "As found",
  asLeft: "As left",
  learned: "Rate learned",
  difference: "On-line minus static",
  lockUp: "Lock-up",
  opening: "Opening stroke",
  closing: "Closing stroke",
  moves: (n: number) => (n === 1 ? "1 turn of the screw" : `${n} turns of the screw`),
  noMoves: "Screw not turned",
  faults: "Found wrong",
  job: (number: string) => `Job ${number}`,
};

export const files = {
  title: "Procedures",
  own: "Owner's file",
  ownFile: (file: string) => `Owner's file ${file}`,
  fingerprint: "Fingerprint",
  folder: "Folder for your own files",
  refused: "Files that are not used",
  refusedAt: (file: string, line: number) => (line === 0 ? file : `${file}, line ${line}`),
  none: "No files of your own. The procedures are the product's.",
  reload: "Read the folder again",
  missing: "This tablet does not have the procedure of this job",
  missingNext: "You can read the job. Nothing can be recorded until its file has come from whoever opened the job.",
  fault: {
    syntax: "It does not read",
    missing_text: "A text is missing in one language",
    duplicate_id: "The same id twice",
    hard_stop_left_out: "A hard stop of the built-in procedure is missing",
    unknown_step: "A step that is not there",
    unknown_answer: "An answer that is not there",
    unknown_element: "An element that is not there",
    unknown_point: "A point that is not there",
    unknown_screw: "A screw that is not there",
    unknown_speed_control: "A speed control that is not there",
    unknown_particular: "A particular that is not there",
    unknown_phase: "A phase that is not there",
    unknown_name: "A name that is not there",
    unknown_condition: "A condition that makes no sense",
    not_a_stop: "Not a hard stop",
    cycle: "Steps that wait for one another",
    later_step: "A step that waits for a later one",
    outside_phase: "A step outside its phase",
    too_few_answers: "A question with one answer",
    too_large: "Too large",
    not_text: "Not a text file",
    unreadable: "Cannot be read from the disk",
  } as Record<string, string>,
};

export const stations = {
  screw: "Screw in hand",
  sets: (point: string) => `sets ${point}`,
  known: "A valve of an earlier job",
  newValve: "A new valve",
  addValve: "Add a valve of the same chamber",
  removeValve: "Take this valve off",
  beside: (n: number) => `Valve ${n}`,
  drawing: "The station, as it stands",
  branch: { main: "Main", low_flow: "Low-flow valve", large: "Large valve", relief: "Relief", bypass: "Bypass" },
  inlet: "Inlet",
  zone: "Zone",
  outfall: "Outfall",
  control: "Pilot and cover",
};
