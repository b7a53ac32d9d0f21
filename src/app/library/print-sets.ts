import { boardPageLayout, papers } from "../../boards/pages/paper.ts";
import type { JobRecord, PrintSet, Settings } from "../store/database/schema.ts";

/** The job's first set, with all boards that no other set names. */
export const firstSetId = "first";

/** Every set of prints of a job, the first one first. */
export function printSetsOf({ boards }: Pick<JobRecord, "boards">): PrintSet[] {
  const { barHorizontal, barVertical, readingSdMm, setName, sets } = boards;
  return [
    { id: firstSetId, name: setName, ids: [], barHorizontal, barVertical, readingSdMm },
    ...sets,
  ];
}

/** The job with a set changed. A board that is given to one set is taken from the others. */
export function withPrintSet(record: JobRecord, id: string, change: Partial<PrintSet>): JobRecord {
  const { boards } = record;
  if (id === firstSetId) {
    const { name = boards.setName, barHorizontal, barVertical, readingSdMm } = change;
    return {
      ...record,
      boards: {
        ...boards,
        setName: name,
        barHorizontal: barHorizontal ?? boards.barHorizontal,
        barVertical: barVertical ?? boards.barVertical,
        readingSdMm: readingSdMm ?? boards.readingSdMm,
      },
    };
  }
  const taken = new Set(change.ids);
  const sets = boards.sets.map((set) =>
    set.id === id
      ? { ...set, ...change, id }
      : { ...set, ids: set.ids.filter((board) => !taken.has(board)) },
  );
  return { ...record, boards: { ...boards, sets } };
}

export const withoutPrintSet = (record: JobRecord, id: string): JobRecord => ({
  ...record,
  boards: { ...record.boards, sets: record.boards.sets.filter((set) => set.id !== id) },
});

/** The job with a further set; its boards are taken from the others. */
export const withNewPrintSet = (record: JobRecord, set: PrintSet): JobRecord =>
  withPrintSet(
    { ...record, boards: { ...record.boards, sets: [...record.boards.sets, set] } },
    set.id,
    { ids: set.ids },
  );

/** A set with nothing in it yet, with the bars of this paper. */
export function emptySet(id: string, paper: Settings["paper"]): PrintSet {
  const { horizontal, vertical } = boardPageLayout(papers[paper === "a4" ? "A4" : "Letter"]);
  return {
    id,
    name: "",
    ids: [],
    barHorizontal: { nominalMm: horizontal.lengthMm, readingMm: null },
    barVertical: { nominalMm: vertical.lengthMm, readingMm: null },
    readingSdMm: 0.15,
  };
}

export const isRead = ({
  barHorizontal,
  barVertical,
}: Pick<PrintSet, "barHorizontal" | "barVertical">): boolean =>
  barHorizontal.readingMm !== null && barVertical.readingMm !== null;

/** True where two sets have the same boards and readings, whatever they are called. */
export const samePrints = (a: PrintSet, b: PrintSet): boolean =>
  [a, b]
    .map(({ ids, barHorizontal, barVertical, readingSdMm }) =>
      JSON.stringify([
        [...ids].sort((x, y) => x - y),
        barHorizontal.nominalMm,
        barHorizontal.readingMm,
        barVertical.nominalMm,
        barVertical.readingMm,
        readingSdMm,
      ]),
    )
    .every((text, _, all) => text === all[0]);
