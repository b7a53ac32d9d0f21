import { describe, expect, test } from "vitest";
import { checkPrint } from "../../../src/boards/print-check.ts";
import { jobFileSchema } from "../../../src/job/file/job-file.ts";
import { printOf, statePrints } from "../../../src/job/problem/print-sets.ts";
import type { Remark } from "../../../src/job/result/remark-codes.ts";

const bars = (across: number, up: number) => ({
  horizontal: { nominalMm: 200, readingMm: across },
  vertical: { nominalMm: 200, readingMm: up },
});

const jobWith = (boards: unknown) =>
  jobFileSchema.parse({
    format: "plumbshot-job",
    version: 1,
    title: "prints",
    placement: "none",
    boards,
  });

describe("sets of prints", () => {
  test("a job without sets has one, with width and height from its own bars", () => {
    const job = jobWith({ printCheck: bars(200.4, 199.8) });
    const prints = statePrints(job, []);
    expect(prints?.length).toBe(1);
    const [print] = prints!;
    expect(printOf(job, { id: 7, designedCellMm: 13 })).toBe(print.key);
    expect(print.width).toBeCloseTo(1.002, 12);
    expect(print.height).toBeCloseTo(0.999, 12);
    const check = checkPrint(13, { ...bars(200.4, 199.8), readingSdMm: 0.15 });
    expect(check.ok && check.widthSd).toBe(print.widthSd);
  });

  test("a reading scales the boards of its own set only", () => {
    const job = jobWith({
      printCheck: bars(194, 194),
      sets: [
        { name: "new printer", ids: [31, 32], printCheck: bars(200.2, 200.2) },
        { name: "borrowed", ids: [11] },
      ],
    });
    const remarks: Remark[] = [];
    const prints = statePrints(job, remarks)!;
    const scaleOf = (id: number) =>
      prints.find(({ key }) => key === printOf(job, { id, designedCellMm: 13 }))!;
    expect(scaleOf(1).width).toBeCloseTo(0.97, 12);
    expect(scaleOf(31).width).toBeCloseTo(1.001, 12);
    expect(scaleOf(11).width ?? 1).toBe(1);
    expect(scaleOf(11).scaleSd).toBeGreaterThan(0.004);
    expect(remarks.filter(({ code }) => code === "print-unchecked").length).toBe(1);
  });

  test("a board in two sets, and two sets of one name, are refused", () => {
    const set = (name: string, ids: number[]) => ({ name, ids });
    expect(() => jobWith({ sets: [set("a", [31]), set("b", [31, 32])] })).toThrow(/31/);
    expect(() => jobWith({ sets: [set("a", [31]), set("a", [32])] })).toThrow(/name/);
  });
});
