import type { JobRecord, PhotoRecord } from "../storage/schema.ts";

/**
 * The job in the words of job.json, as typed: it is parsed by the job's own schema before use, so
 * that a missing or absurd entry ends in the same sentence as on the command line.
 */
export function jobFileInput(record: JobRecord, photos: readonly PhotoRecord[]): unknown {
  const { boards, placement } = record;
  const { boards: otherBoards, ...statements } = boards.statements;
  return {
    format: "plumbshot-job",
    version: 1,
    title: record.title || "Job",
    invented: record.invented,
    ...statements,
    boards: {
      ...(otherBoards as object | undefined),
      cellMm: boards.cellMm,
      ...printCheck(record),
    },
    lengths: boards.lengths.filter(isComplete).map(({ from, to, lengthMm, sdMm, note }) => ({
      from,
      to,
      lengthMm,
      sdMm,
      ...(note ? { note } : {}),
    })),
    placement: placement.sheet,
    ...(placement.step ? { step: placement.step } : {}),
    ...positions(photos),
  };
}

const isComplete = (length: JobRecord["boards"]["lengths"][number]): boolean =>
  length.from !== null && length.to !== null && length.lengthMm !== null && length.sdMm !== null;

function printCheck({ boards }: JobRecord): { printCheck?: unknown } {
  const { barHorizontal, barVertical, readingSdMm } = boards;
  if (barHorizontal.readingMm === null || barVertical.readingMm === null) {
    return {};
  }
  return { printCheck: { horizontal: barHorizontal, vertical: barVertical, readingSdMm } };
}

/** Car positions, only where there is more than one. */
function positions(photos: readonly PhotoRecord[]): { positions?: unknown } {
  const shown = photos.filter(
    (photo) => photo.purpose === "boards" && photo.epoch === "before" && !photo.removed,
  );
  const numbers = [...new Set(shown.map((photo) => photo.position))].sort((a, b) => a - b);
  if (numbers.length < 2) {
    return {};
  }
  return {
    positions: numbers.map((number) => ({
      name: `Position ${number}`,
      photos: shown.filter((photo) => photo.position === number).map((photo) => photo.name),
    })),
  };
}

/** Puts a job.json (already parsed as JSON) into a record; what the app has no field for is kept. */
export function recordWithJobFile(record: JobRecord, raw: Record<string, unknown>): JobRecord {
  const { format, version, title, invented, placement, step, lengths, positions, ...rest } = raw;
  const boards = (rest.boards ?? {}) as Record<string, unknown>;
  const { cellMm, printCheck: check, ...otherBoards } = boards;
  const bars = (check ?? {}) as Partial<Record<"horizontal" | "vertical", Bar>> & {
    readingSdMm?: number;
  };
  const present = record.boards;
  return {
    ...record,
    title: typeof title === "string" ? title : record.title,
    invented: invented === true,
    boards: {
      cellMm: typeof cellMm === "number" ? cellMm : present.cellMm,
      barHorizontal: bars.horizontal ?? present.barHorizontal,
      barVertical: bars.vertical ?? present.barVertical,
      readingSdMm: bars.readingSdMm ?? present.readingSdMm,
      lengths: Array.isArray(lengths)
        ? lengths.map((length, index) => ({ id: String(index), note: "", ...length }))
        : [],
      statements: { ...rest, boards: otherBoards },
    },
    placement: {
      ...record.placement,
      sheet: placement ?? null,
      step: typeof step === "string" ? step : "",
    },
  };
}

interface Bar {
  readonly nominalMm: number;
  readonly readingMm: number;
}
