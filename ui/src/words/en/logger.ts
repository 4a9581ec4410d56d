// Words for loggers' files.

import type { LoggerRemark } from "../../generated/LoggerRemark";

const remark: Record<LoggerRemark, string> = {
  unordered: "Times were out of order; put in order.",
  duplicate_times: "Some times came twice; their mean was taken.",
  rows_left_out: "Some rows hold no number; left out.",
  local_times: "Times are those of the logger's own clock.",
  gaps: "There are gaps.",
};

export const logger = {
  title: "Logger files",
  none: "No logger file yet.",
  noneNext: "A CSV file off a logger: a column of times and one of pressures.",
  pick: "Choose a file",
  bringing: (percent: number) => `Taking it in: ${percent} %`,
  holds: (rows: number, columns: string) => `${rows} rows, ${columns}`,
  column: "Column",
  unit: "Unit",
  dayFirst: "Dates are written",
  orders: { day: "day/month", month: "month/day" },
  point: "The logger sat at",
  keep: "Keep this file",
  inHand: "Shown",
  whole: "Whole file",
  nearer: "Nearer",
  farther: "Farther",
  earlier: "Earlier",
  later: "Later",
  plot: (low: string, high: string) => `Pressure against time, from ${low} to ${high}`,
  mean: "Mean",
  range: "Lowest and highest",
  noSettled: "Nothing to judge in this window.",
  seconds: (n: string) => `${n} s`,
  remark,
  problem: {
    empty: "The file is empty.",
    too_large: "The file is too large.",
    too_many_rows: "More than a million rows. Cut it into parts.",
    no_data: "No row holds a time and a number. Is it a logger's CSV file?",
    no_column: "That column holds no numbers.",
    no_unit: "The header names no unit. Say which it is.",
    ambiguous_date: "Day and month cannot be told apart. Say which comes first.",
    bad_rows: "Too many rows cannot be read.",
    damaged: "What was kept is damaged.",
    not_here: "The file's bytes have not come to this tablet.",
  },
};

