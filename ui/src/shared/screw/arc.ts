// The arc that a turn draws around a screw head. Geometry of the drawing only.

/** More than this is not drawn as more circles; the words say how much it is. */
export const MOST_DRAWN = 3;

export interface Arc {
  /** The SVG path of the arc. */
  readonly path: string;
  /** Where it ends, and the direction it ends in, in degrees clockwise from the top. */
  readonly end: { readonly x: number; readonly y: number; readonly heading: number };
}

const STEP_DEGREES = 6;

/**
 * A turn of `turns` (clockwise positive) that starts at the top. Each whole turn lies `inset` further in than the
 * one before, so that one can count them.
 */
export function arc(turns: number, centre: number, radius: number, inset: number): Arc {
  const drawn = Math.max(-MOST_DRAWN, Math.min(MOST_DRAWN, turns));
  const total = drawn * 360;
  const steps = Math.max(1, Math.ceil(Math.abs(total) / STEP_DEGREES));
  const at = (part: number): { x: number; y: number } => {
    const degrees = total * part;
    const r = radius - (inset * Math.abs(degrees)) / 360;
    const angle = (degrees * Math.PI) / 180;
    return { x: centre + r * Math.sin(angle), y: centre - r * Math.cos(angle) };
  };
  const points = Array.from({ length: steps + 1 }, (_, step) => at(step / steps));
  const path = points.map(({ x, y }, step) => `${step === 0 ? "M" : "L"}${x.toFixed(1)} ${y.toFixed(1)}`).join("");
  return { path, end: { ...at(1), heading: total + (drawn < 0 ? -90 : 90) } };
}
