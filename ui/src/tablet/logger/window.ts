// Another window of a series, in whole seconds: the part of the plot that is asked for next. It computes no figure.

import type { LoggerWindow } from "../../generated/LoggerWindow";

export type Step = "nearer" | "farther" | "earlier" | "later";

/** The shortest window, in seconds. */
const SHORTEST = 4;

/** The window a step away, or `null` where there is none. */
export function moved(window: LoggerWindow, span: number, step: Step): [number, number] | null {
  const end = Math.ceil(span);
  const from = Math.floor(window.from_s);
  const to = Math.ceil(window.to_s);
  const width = to - from;
  switch (step) {
    case "nearer": {
      const part = Math.floor(width / 4);
      return width <= SHORTEST ? null : [from + part, to - part];
    }
    case "farther": {
      const more = Math.max(1, Math.ceil(width / 2));
      return width >= end ? null : [Math.max(0, from - more), Math.min(end, to + more)];
    }
    case "earlier": {
      const back = Math.min(from, Math.ceil(width / 2));
      return back === 0 ? null : [from - back, to - back];
    }
    case "later": {
      const on = Math.min(end - to, Math.ceil(width / 2));
      return on <= 0 ? null : [from + on, to + on];
    }
  }
}
