import type { Reading } from "../storage/schema.ts";

/** En = (x - X) / sqrt(U_x^2 + U_X^2) with expanded uncertainties (ISO/IEC 17043). */
export function enNumber(
  reading: Pick<Reading, "value" | "expandedUncertainty">,
  check: { readonly measured: number; readonly expandedUncertainty: number },
): number | null {
  const { value, expandedUncertainty } = reading;
  if (value === null || expandedUncertainty === null || expandedUncertainty <= 0) {
    return null;
  }
  return (check.measured - value) / Math.hypot(expandedUncertainty, check.expandedUncertainty);
}
