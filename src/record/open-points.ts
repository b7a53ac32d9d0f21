/**
 * What is still open when a record is to be closed. Nothing here forbids closing: every point is
 * listed, confirmed by a person and written into the revision. The verdict itself is the engine's
 * and is only repeated.
 */
import type { OpenPoint, RecordContent } from "./revision.ts";

export type OpenPointCode =
  | "open-no-result"
  | "open-outcome"
  | "open-stale"
  | "open-checks"
  | "open-no-print-check"
  | "open-no-length"
  | "open-no-after-photos"
  | "open-moved"
  | "open-stability"
  | "open-cross-check"
  | "open-photo-unreadable"
  | "open-photo-times"
  | "open-no-technician"
  | "open-no-procedure"
  | "open-no-car"
  | "open-no-scan-after"
  | "open-steps";

export interface ClosingState {
  readonly content: RecordContent;
  /** True where the result does not belong to the present entries. */
  readonly stale: boolean;
  /** Steps of the sheet without a result. */
  readonly stepsOpen: readonly string[];
}

type Point = OpenPoint & { readonly code: OpenPointCode };

/** The open points, the gravest first; empty where nothing is open. */
export function openPoints({ content, stale, stepsOpen }: ClosingState): Point[] {
  return [
    ...ofResult(content, stale),
    ...(stepsOpen.length > 0
      ? [{ code: "open-steps" as const, values: { steps: stepsOpen.join(", ") } }]
      : []),
    ...ofStability(content),
    ...ofInputs(content),
    ...ofPhotos(content),
    ...ofChecks(content),
    ...ofPapers(content),
  ];
}

const when = (condition: boolean, code: OpenPointCode): Point[] => (condition ? [{ code }] : []);

function ofResult({ result }: RecordContent, stale: boolean): Point[] {
  if (!result) return [{ code: "open-no-result" }];
  const notMet: Point[] =
    result.outcome === "all meet"
      ? []
      : [{ code: "open-outcome", values: { outcome: result.outcome } }];
  return [...notMet, ...when(stale, "open-stale")];
}

function ofStability({ result, photos }: RecordContent): Point[] {
  if (!result) return [];
  if (!photos.some(({ epoch }) => epoch === "after")) return [{ code: "open-no-after-photos" }];
  if (result.stability?.verdict === "moved") return [{ code: "open-moved" }];
  return when(result.stability?.verdict !== "nothing moved", "open-stability");
}

function ofInputs({ job, result }: RecordContent): Point[] {
  const boards = job.boards as
    | { printCheck?: unknown; sets?: { printCheck?: unknown }[] }
    | undefined;
  const sets = Array.isArray(boards?.sets) ? boards.sets : [];
  const unread = sets.some((set) => !set.printCheck);
  const lengths = Array.isArray(job.lengths) ? job.lengths : [];
  return [
    ...when(!boards?.printCheck || unread, "open-no-print-check"),
    ...when(lengths.length === 0, "open-no-length"),
    ...when(
      (result?.crossChecks ?? []).some(({ agree }) => !agree),
      "open-cross-check",
    ),
  ];
}

function ofPhotos({ photos, result }: RecordContent): Point[] {
  const unused = (result?.photos ?? []).filter(({ used }) => !used).map(({ name }) => name);
  const bay = photos.filter(({ purpose }) => purpose === "boards");
  const timeless = bay.filter(({ takenAt }) => takenAt === null).length;
  return [
    ...(unused.length > 0
      ? [{ code: "open-photo-unreadable" as const, values: { photos: unused.join(", ") } }]
      : []),
    ...(timeless > 0
      ? [{ code: "open-photo-times" as const, values: { count: timeless, of: bay.length } }]
      : []),
  ];
}

function ofChecks({ checks }: RecordContent): Point[] {
  const open = checks.filter(({ state }) => state === "open").length;
  return open > 0 ? [{ code: "open-checks", values: { count: open, of: checks.length } }] : [];
}

function ofPapers({ car, work, attachments }: RecordContent): Point[] {
  const scanned = work.scanAfter !== "" || attachments.some(({ kind }) => kind === "scan after");
  return [
    ...when(car.plate === "" && car.vin === "", "open-no-car"),
    ...when(work.technician === "", "open-no-technician"),
    ...when(work.procedure === "", "open-no-procedure"),
    ...when(!scanned, "open-no-scan-after"),
  ];
}
