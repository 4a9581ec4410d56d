// Which of the four drawings stands for a class of element.

export type Shape = "gate" | "cock" | "branch" | "loop";

const SHAPES: Readonly<Record<string, Shape>> = {
  block_valve: "gate",
  hydrant: "branch",
  vent: "branch",
  drain: "branch",
  bypass: "loop",
};

/** The drawing for a class; a class not known here is drawn as a cock. */
export function shapeOf(elementClass: string): Shape {
  return SHAPES[elementClass] ?? "cock";
}
