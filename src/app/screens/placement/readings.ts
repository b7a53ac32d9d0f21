import type { CheckResult } from "../../../job/result/result.ts";
import { type CrossCheck, crossCheck } from "../../../placement/decide/cross-check.ts";
import type { Reading } from "../../store/database/schema.ts";

/** A reading by other means beside our value; null while the reading is incomplete. */
export function compareReading(
  { value, expandedUncertainty, how }: Omit<Reading, "id" | "checkId">,
  check: Pick<CheckResult, "measured" | "expandedUncertainty" | "unit">,
  nameless: string,
): CrossCheck | null {
  if (value === null || expandedUncertainty === null || expandedUncertainty <= 0) {
    return null;
  }
  const ours = { value: check.measured, expanded: check.expandedUncertainty };
  const theirs = { value, expanded: expandedUncertainty };
  return crossCheck(ours, theirs, check.unit, how.trim() || nameless);
}
