// From figures to places on a drawing.

export interface Span {
  readonly low: number;
  readonly high: number;
}

/** The span of some figures, with a tenth of room on either side; never empty. */
export function spanOf(figures: readonly number[], least: number): Span {
  const low = Math.min(...figures);
  const high = Math.max(...figures);
  const room = Math.max((high - low) * 0.1, (least - (high - low)) / 2, least * 0.1);
  return { low: low - room, high: high + room };
}

/** Round figures within a span for the marks of an axis, three to seven of them. */
export function marks({ low, high }: Span): number[] {
  const rough = (high - low) / 4;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((times) => times * power).find((size) => size >= rough) ?? rough;
  const first = Math.ceil(low / step);
  const count = Math.floor(high / step) - first + 1;
  return Array.from({ length: count }, (_, at) => Number(((first + at) * step).toPrecision(12)));
}

/** Where a figure lies between two ends of a drawing. */
export function place(value: number, { low, high }: Span, from: number, to: number): number {
  return from + ((value - low) / (high - low)) * (to - from);
}
