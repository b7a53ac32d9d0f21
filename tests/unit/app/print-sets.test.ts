import { describe, expect, test } from "vitest";
import { giveBack, takeOver } from "../../../src/app/library/carry-over.ts";
import {
  emptySet,
  firstSetId,
  printSetsOf,
  samePrints,
  withNewPrintSet,
  withoutPrintSet,
  withPrintSet,
} from "../../../src/app/library/print-sets.ts";
import { matches } from "../../../src/app/record/recall.ts";
import { jobFileInput, recordWithJobFile } from "../../../src/app/state/job-file.ts";
import type { RevisionEntry } from "../../../src/app/store/database/revision-entry.ts";
import {
  defaultSettings,
  jobRecordSchema,
  type PrintSet,
} from "../../../src/app/store/database/schema.ts";
import { newJob } from "../../../src/app/store/new-job.ts";
import { parseJobFile } from "../../../src/job/file/parse-job.ts";
import { printOf, statePrints } from "../../../src/job/problem/print-sets.ts";

const fresh = () => newJob(defaultSettings, "2026-01-02T08:00:00Z");
const read = (id: string, name: string, ids: number[], across: number, up: number): PrintSet => ({
  ...emptySet(id, "a4"),
  name,
  ids,
  barHorizontal: { nominalMm: 190, readingMm: across },
  barVertical: { nominalMm: 270, readingMm: up },
});

const twoPrints = () =>
  withNewPrintSet(
    withPrintSet(fresh(), firstSetId, read("x", "old printer", [], 190.2, 270.3)),
    read("b", "new printer", [31, 32], 188.1, 267.3),
  );

const jobOf = (record: ReturnType<typeof fresh>) => {
  const parsed = parseJobFile({
    ...(jobFileInput(record, []) as object),
    placement: "placement.json",
  });
  if (!parsed.ok) throw new Error(JSON.stringify(parsed));
  return parsed.job;
};

describe("prints of a job in the app", () => {
  test("each board is measured with the bars of its own print", () => {
    const job = jobOf(twoPrints());
    const prints = statePrints(job, [])!;
    const widthOf = (id: number) =>
      prints.find(({ key }) => key === printOf(job, { id, designedCellMm: 13 }))?.width;
    expect(widthOf(1)).toBeCloseTo(190.2 / 190, 12);
    expect(widthOf(31)).toBeCloseTo(188.1 / 190, 12);
    expect(job.boards.setName).toBe("old printer");
  });

  test("a board belongs to one print: giving it to another takes it from the first", () => {
    const record = withNewPrintSet(twoPrints(), read("c", "borrowed", [32, 11], 190, 270));
    expect(printSetsOf(record).map(({ ids }) => ids)).toEqual([[], [31], [32, 11]]);
    expect(jobOf(record).boards.sets?.length).toBe(2);
  });

  test("a print without boards or name does not break the job; two of one name are told apart", () => {
    const record = withNewPrintSet(
      withNewPrintSet(twoPrints(), { ...emptySet("c", "letter"), ids: [] }),
      read("d", "new printer", [11], 190, 270),
    );
    const names = jobOf(record).boards.sets?.map(({ name }) => name);
    expect(names?.[0]).toBe("new printer");
    expect(new Set(names).size).toBe(2);
  });

  test("a job file brings its prints along, and writes the same ones again", () => {
    const record = twoPrints();
    const file = jobFileInput(record, []) as Record<string, unknown>;
    const again = recordWithJobFile(fresh(), structuredClone(file));
    expect(printSetsOf(again).every((set, i) => samePrints(set, printSetsOf(record)[i]))).toBe(
      true,
    );
    expect((jobFileInput(again, []) as { boards: unknown }).boards).toEqual(file.boards);
  });

  test("prints that cannot be read are not dropped: the job's schema names them", () => {
    const file = jobFileInput(fresh(), []) as Record<string, unknown>;
    const spoilt = { ...file, boards: { cellMm: 13, sets: [{ name: 5 }] } };
    const record = recordWithJobFile(fresh(), spoilt);
    expect(parseJobFile({ ...(jobFileInput(record, []) as object), placement: "p" }).ok).toBe(
      false,
    );
  });

  test("a stored job without prints of other days opens as it was", () => {
    const { sets: _sets, setName: _name, ...boards } = fresh().boards;
    const parsed = jobRecordSchema.parse({ ...fresh(), boards });
    expect(parsed.boards.sets).toEqual([]);
  });

  test("the next job takes them over; one tap empties them", () => {
    const next = takeOver(fresh(), twoPrints(), []);
    expect(next.takenOver?.parts).toContain("prints");
    expect(printSetsOf(next).map(({ name }) => name)).toEqual(["old printer", "new printer"]);
    expect(printSetsOf(giveBack(next, "prints")).length).toBe(1);
    expect(printSetsOf(withoutPrintSet(twoPrints(), "b")).length).toBe(1);
  });

  test("a closed record is found by the name of a print", () => {
    const entry = {
      title: "t",
      plate: "",
      vin: "",
      vehicle: "",
      customer: "",
      technician: "",
      sheet: "",
      closedAt: "2026-01-02T08:00:00Z",
      sha256: "0".repeat(64),
      outcome: "all meet",
      printSets: ["new printer"],
    } as unknown as RevisionEntry;
    expect(matches(entry, "NEW print", "any")).toBe(true);
    expect(matches(entry, "old printer", "any")).toBe(false);
  });
});
