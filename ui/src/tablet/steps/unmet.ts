// What a step is still short of.

import type { ConditionView } from "../../generated/ConditionView";
import type { StepView } from "../../generated/StepView";

/** Unmet needs first, then unmet evidence, in the order of the view. */
export function unmetOf(step: Pick<StepView, "needs" | "evidence">): readonly ConditionView[] {
  return [...step.needs, ...step.evidence].filter((condition) => !condition.met);
}
