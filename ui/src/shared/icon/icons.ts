// Icons, drawn on a 32 x 32 grid with a stroke of 2.6: outlines of the things themselves.

export const ICONS = {
  back: "M20 6 10 16l10 10",
  forward: "m12 6 10 10-10 10",
  down: "m6 12 10 10 10-10",
  close: "M7 7l18 18M25 7 7 25",
  tick: "m6 17 7 7L27 9",
  plus: "M16 6v20M6 16h20",
  pencil: "M6 26l2-7L21 6l5 5-13 13-7 2ZM18 9l5 5",
  erase: "M11 7h16v18H11L3 16l8-9ZM15 12l8 8M23 12l-8 8",
  more: "M6 10h20M6 16h20M6 22h20",
  // One head, and two of them.
  person: "M16 4.500a5 5 0 1 1 0 10 5 5 0 0 1 0-10ZM6 28c0-6 4-10 10-10s10 4 10 10",
  pair: "M11 6a4.500 4.500 0 1 1 0 9 4.500 4.500 0 0 1 0-9ZM2.500 27c0-5 3.500-9 8.500-9s8.500 4 8.500 9M21 9a4 4 0 1 1 0 8M23 20c4 .500 6.500 3.500 6.500 7",
  // A slate with one dot, two slates, a slate under a roof.
  only_here: "M8 4h16v24H8V4ZM14.500 16a1.500 1.500 0 1 1 3 0 1.500 1.500 0 0 1-3 0Z",
  with_mate: "M4 4h12v18H4V4ZM16 10h12v18H16V10Z",
  at_office: "M3 13 16 4l13 9M9 13h14v15H9V13ZM14 28v-7h4v7",
  linked: "M12 20 20 12M14 9l3-3c5-4 13 3 9 8l-3 3M18 23l-3 3c-5 4-13-3-9-8l3-3",
  apart: "M14 9l3-3c5-4 13 3 9 8l-3 3M18 23l-3 3c-5 4-13-3-9-8l3-3M5 5l4 4M23 23l4 4",
  sun: "M16 10a6 6 0 1 1 0 12 6 6 0 0 1 0-12ZM16 2v4M16 26v4M2 16h4M26 16h4M6 6l3 3M23 23l3 3M26 6l-3 3M9 23l-3 3",
  // A headlamp and its beam.
  lamp: "M4 11h7v10H4V11ZM11 12l6-2v12l-6-2M21 12l7-4M21 16h8M21 20l7 4",
  // A needle driven over the end of its scale.
  runaway: "M5 24A13 13 0 1 1 27 24M16 22 25 9M25 9l-6 2M25 9l.500 6",
  // A turn taken back.
  put_back: "M9 7 4 12l5 5M4 12h14a8 8 0 1 1 0 16h-6",
  warning: "M16 4 29 27H3L16 4ZM16 12v8M16 23.500v.500",
  stop: "M4 16h24M4 9v14M28 9v14M16 7v18",
  drop: "M16 4c5 7 8 11 8 15a8 8 0 0 1-16 0c0-4 3-8 8-15Z",
  // The screens.
  pre_job: "M4 7h24v18H4V7ZM8 11v.500M24 11v.500M8 21v.500M24 21v.500M13 13h6M12 18h8",
  line_up: "M3 20h7M22 20h7M10 15h12v10H10V15ZM16 15V8M10 8h12",
  steps: "M8 4v24M8 8h18M8 16h18M8 24h12M5 8h6M5 16h6M5 24h6",
  diagnosis: "M14 4a9.500 9.500 0 1 0 0 19 9.500 9.500 0 1 0 0-19ZM21 21l7 7",
  logger: "M4 5v22h24M8 20c2-9 4-9 6 0s4 5 6-4 3-5 6-5",
  setting: "M16 4 26.400 10v12L16 28 5.600 22V10L16 4ZM16 8v7",
  readings: "M16 4a12 12 0 1 1 0 24 12 12 0 0 1 0-24ZM16 16l5-6M8 16h2M22 16h2M16 8v2",
  close_out: "M6 4h20v24H6V4ZM10 10h12M10 15h12M10 23c3-4 4 2 6-1s3-2 6 0",
  crew: "M11 6a4.500 4.500 0 1 1 0 9 4.500 4.500 0 0 1 0-9ZM2.500 27c0-5 3.500-9 8.500-9s8.500 4 8.500 9M21 9a4 4 0 1 1 0 8M23 20c4 .500 6.500 3.500 6.500 7",
  tablet: "M7 3h18v26H7V3ZM14 25h4",
} as const;

export type IconName = keyof typeof ICONS;
