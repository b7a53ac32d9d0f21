import { stepOf } from "../../job/solve/solve.ts";
import { unitOf } from "../../placement/sheet/sheet.ts";
import { readPlacementSheet } from "../../placement/sheet/sheet-questions.ts";
import { limitsFor } from "../../watch/limits.ts";
import { usualSettings, type WatchSettings } from "../../watch/watch.ts";
import type { JobRecord } from "../store/database/schema.ts";

/** Limits of the watch's alarm from the present step of the job's sheet; the usual ones without a sheet. */
export function watchLimits({
  placement,
}: Pick<JobRecord, "placement">): Omit<WatchSettings, "cellMm"> {
  const read = readPlacementSheet(placement.sheet);
  const step = read.ok ? stepOf(read.sheet, placement.step || undefined) : undefined;
  if (!step) {
    return usualSettings;
  }
  const halfWidths = (unit: "mm" | "deg"): number[] =>
    step.checks
      .filter(({ kind }) => unitOf(kind) === unit)
      .flatMap(({ lowerDeviation: lower, upperDeviation: upper }) =>
        lower === null || upper === null ? [] : [(upper - lower) / 2],
      );
  const allowed = { lengthsMm: halfWidths("mm"), anglesDeg: halfWidths("deg") };
  return { ...usualSettings, ...limitsFor(allowed) };
}
