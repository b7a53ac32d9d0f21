import { crossCheck } from "../../placement/cross-check.ts";
import type { Reading } from "../storage/schema.ts";

/** En number of a reading against a check; null while the reading is incomplete. */
export function enNumber(
  reading: Pick<Reading, "value" | "expandedUncertainty">,
  check: { readonly measured: number; readonly expandedUncertainty: number },
): number | null {
  const { value, expandedUncertainty } = reading;
  if (value === null || expandedUncertainty === null || expandedUncertainty <= 0) {
    return null;
  }
  const ours = { value: check.measured, expanded: check.expandedUncertainty };
  return crossCheck(ours, { value, expanded: expandedUncertainty }, "mm", "").en;
}
