// Which of the four drawings stands for a class of element.

import type { ElementClass } from "../../generated/ElementClass";

export type Shape = "gate" | "cock" | "branch" | "loop";

const SHAPES: Readonly<Record<ElementClass, Shape>> = {
  block_valve: "gate",
  cock: "cock",
  gauge_cock: "cock",
  hydrant: "branch",
  vent: "branch",
  bypass: "loop",
};

/** The drawing for a class; one that a newer program may send is drawn as a cock. */
export function shapeOf(elementClass: ElementClass): Shape {
  return SHAPES[elementClass] ?? "cock";
}
