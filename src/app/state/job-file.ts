import { z } from "zod";
import type { JobRecord, PhotoRecord, PrintSet } from "../store/database/schema.ts";

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
      ...printCheck(boards),
      ...(boards.setName ? { setName: boards.setName } : {}),
      ...furtherSets(boards.sets),
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
    ...readings(record),
    ...photoGroups(record, photos),
    ...phones(photos),
  };
}

/** A length counts only as a whole. */
export const isComplete = (length: JobRecord["boards"]["lengths"][number]): boolean =>
  length.from !== null && length.to !== null && length.lengthMm !== null && length.sdMm !== null;

type Readings = Pick<PrintSet, "barHorizontal" | "barVertical" | "readingSdMm">;

function printCheck({ barHorizontal, barVertical, readingSdMm }: Readings): {
  printCheck?: unknown;
} {
  if (barHorizontal.readingMm === null || barVertical.readingMm === null) {
    return {};
  }
  return { printCheck: { horizontal: barHorizontal, vertical: barVertical, readingSdMm } };
}

/** Further sets of prints: those that have boards, each under a name of its own. */
function furtherSets(sets: readonly PrintSet[]): { sets?: unknown } {
  const used = new Set<string>();
  const stated = sets
    .filter(({ ids }) => ids.length > 0)
    .map((set, index) => {
      let name = set.name.trim() || `print ${index + 2}`;
      while (used.has(name)) name = `${name} (${index + 2})`;
      used.add(name);
      return { name, ids: set.ids, ...printCheck(set) };
    });
  return stated.length > 0 ? { sets: stated } : {};
}

/**
 * Which photo belongs where, in the words of job.json: car positions, set-ups of the stand after the
 * first, photos after the run; each only where there is something to say.
 */
function photoGroups(record: JobRecord, photos: readonly PhotoRecord[]): Record<string, unknown> {
  const shown = photos.filter((photo) => photo.purpose === "boards" && !photo.removed);
  const before = shown.filter((photo) => photo.epoch === "before");
  const after = shown.filter((photo) => photo.epoch === "after");
  const positions = groupedBy(before, (photo) => photo.position);
  const setups = groupedBy(before, (photo) => photo.setup).filter((group) => group.number > 1);
  return {
    ...(positions.length > 1
      ? {
          positions: positions.map(({ number, names }) => ({
            name: `Position ${number}`,
            kind: record.photos.positionKind,
            photos: names,
          })),
        }
      : {}),
    ...(setups.length > 0
      ? {
          standMoves: setups.map(({ number, names }) => ({
            name: `Set-up ${number}`,
            photos: names,
          })),
        }
      : {}),
    ...(after.length > 0 ? { after: { photos: after.map((photo) => photo.name) } } : {}),
  };
}

/** Photos that other phones of the shop took, by the phone's name among its devices. */
function phones(photos: readonly PhotoRecord[]): { phones?: unknown } {
  const theirs = photos.filter(
    ({ purpose, removed, device }) => purpose === "boards" && !removed && device !== undefined,
  );
  const devices = [...new Set(theirs.map(({ device }) => device!))].sort();
  if (devices.length === 0) {
    return {};
  }
  return {
    phones: devices.map((name) => ({
      name,
      photos: theirs.filter(({ device }) => device === name).map((photo) => photo.name),
    })),
  };
}

interface PhotoGroup {
  readonly number: number;
  readonly names: readonly string[];
}

function groupedBy(
  photos: readonly PhotoRecord[],
  numberOf: (photo: PhotoRecord) => number,
): PhotoGroup[] {
  const numbers = [...new Set(photos.map(numberOf))].sort((a, b) => a - b);
  return numbers.map((number) => ({
    number,
    names: photos.filter((photo) => numberOf(photo) === number).map((photo) => photo.name),
  }));
}

/** Readings by other means that are complete. */
function readings({ placement }: JobRecord): { readings?: unknown } {
  const complete = placement.readings.flatMap(({ checkId, value, expandedUncertainty, how }) =>
    value !== null && expandedUncertainty !== null && expandedUncertainty > 0
      ? [{ check: checkId, value, expanded: expandedUncertainty, by: how || "another way" }]
      : [],
  );
  return complete.length > 0 ? { readings: complete } : {};
}

const groupSchema = z.array(
  z.looseObject({ kind: z.string().optional(), photos: z.array(z.string()) }),
);

/** Where a photo of a plain job folder belongs, from its job.json. */
export function photoPlaceIn(
  job: Readonly<Record<string, unknown>>,
  name: string,
): Pick<PhotoRecord, "position" | "setup" | "epoch"> {
  const numberIn = (groups: unknown): number => {
    const parsed = groupSchema.safeParse(groups);
    return parsed.success ? parsed.data.findIndex((group) => group.photos.includes(name)) + 1 : 0;
  };
  const after = z.object({ photos: z.array(z.string()) }).safeParse(job.after);
  const move = numberIn(job.standMoves);
  return {
    position: Math.max(1, numberIn(job.positions)),
    setup: move + 1,
    epoch: after.success && after.data.photos.includes(name) ? "after" : "before",
  };
}

/** How many positions and set-ups a job.json has, and how the car was moved between them. */
function photosIn(job: Readonly<Record<string, unknown>>): JobRecord["photos"] {
  const count = (groups: unknown): number => (Array.isArray(groups) ? groups.length : 0);
  const positions = groupSchema.safeParse(job.positions);
  const kinds = positions.success ? positions.data.map(({ kind }) => kind) : [];
  const other = (["turned", "refitted"] as const).find((kind) => kinds.includes(kind));
  return {
    positions: Math.max(1, count(job.positions)),
    positionKind: other ?? "rolled",
    setups: count(job.standMoves) + 1,
  };
}

const readingsSchema = z.array(
  z.object({ check: z.string(), value: z.number(), expanded: z.number(), by: z.string() }),
);

/** Puts a job.json (already parsed as JSON) into a record; what the app has no field for is kept. */
export function recordWithJobFile(record: JobRecord, raw: Record<string, unknown>): JobRecord {
  const { format, version, title, invented, placement, step, lengths, ...others } = raw;
  const { positions, standMoves, after, readings: typed, ...rest } = others;
  const parsedReadings = readingsSchema.safeParse(typed);
  const boards = (rest.boards ?? {}) as Record<string, unknown>;
  const { cellMm, printCheck: check, setName, sets, ...otherBoards } = boards;
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
      setName: typeof setName === "string" ? setName : "",
      ...setsIn(sets, present),
      lengths: Array.isArray(lengths)
        ? lengths.map((length, index) => ({ id: String(index), note: "", ...length }))
        : [],
      // Sets that cannot be read stay as they came, so that the job's schema names what is wrong.
      statements: {
        ...rest,
        boards: { ...otherBoards, ...(readableSets(sets) ? {} : { sets }) },
      },
    },
    photos: photosIn(raw),
    placement: {
      sheet: placement ?? null,
      step: typeof step === "string" ? step : "",
      readings: (parsedReadings.success ? parsedReadings.data : []).map((reading, index) => ({
        id: String(index),
        checkId: reading.check,
        value: reading.value,
        expandedUncertainty: reading.expanded,
        how: reading.by,
      })),
    },
  };
}

interface Bar {
  readonly nominalMm: number;
  readonly readingMm: number;
}

const setsSchema = z.array(
  z.object({
    name: z.string(),
    ids: z.array(z.number()),
    printCheck: z
      .object({
        horizontal: z.object({ nominalMm: z.number(), readingMm: z.number() }),
        vertical: z.object({ nominalMm: z.number(), readingMm: z.number() }),
        readingSdMm: z.number().default(0.15),
      })
      .optional(),
  }),
);

const readableSets = (raw: unknown): boolean =>
  raw === undefined || setsSchema.safeParse(raw).success;

/** The sets of a job.json as the app keeps them. */
function setsIn(raw: unknown, present: JobRecord["boards"]): Pick<JobRecord["boards"], "sets"> {
  const parsed = setsSchema.safeParse(raw);
  const unread = ({ nominalMm }: Bar | PrintSet["barVertical"]) => ({ nominalMm, readingMm: null });
  return {
    sets: (parsed.success ? parsed.data : []).map(({ name, ids, printCheck: check }, index) => ({
      id: String(index),
      name,
      ids,
      barHorizontal: check?.horizontal ?? unread(present.barHorizontal),
      barVertical: check?.vertical ?? unread(present.barVertical),
      readingSdMm: check?.readingSdMm ?? present.readingSdMm,
    })),
  };
}
