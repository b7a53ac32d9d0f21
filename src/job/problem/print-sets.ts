import type { PrintStatement } from "../../adjust/problem/problem.ts";
import { checkPrint, uncheckedPrintSd, uncheckedStretchSd } from "../../boards/print-check.ts";
import type { JobBoard } from "../file/job-boards.ts";
import type { JobFile } from "../file/job-file.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * Sets of prints: boards that came from one printer, paper and day share two scales, width and
 * height, which the two bars of their own print check tell. A ruler reading says nothing about the
 * boards of another set.
 */
const firstSet = "print";
const keyOf = (name: string): string => `${firstSet} ${name}`;

/**
 * Key of the set that a board belongs to. Boards of another size that no set names come from other
 * pages, perhaps from another printer: they are a set of their own.
 */
export const printOf = (
  job: JobFile,
  { id, designedCellMm }: Pick<JobBoard, "id" | "designedCellMm">,
): string => {
  const set = job.boards.sets?.find(({ ids }) => ids.includes(id));
  if (set) return keyOf(set.name);
  return designedCellMm === job.boards.cellMm ? firstSet : `${firstSet} of ${designedCellMm} mm`;
};

/**
 * Prints of other sizes, each with the spread of an unknown printer: the print check was read on
 * pages of the job's own size and says nothing about them.
 */
export const otherPrints = (
  job: JobFile,
  boards: readonly JobBoard[],
  remarks: Remark[],
): PrintStatement[] => {
  const declared = new Set([firstSet, ...(job.boards.sets ?? []).map(({ name }) => keyOf(name))]);
  const others = boards.filter((board) => !declared.has(printOf(job, board)));
  const ids = [...new Set(others.map(({ id }) => id))].sort((a, b) => a - b);
  if (ids.length > 0 && job.boards.printCheck)
    remarks.push({
      code: "print-check-elsewhere",
      values: { boards: ids, count: ids.length, cell: job.boards.cellMm },
      severity: "warning",
      message:
        `The print check was read on pages with cells of ${job.boards.cellMm} mm; it says nothing about ` +
        `board ${ids.join(", ")} of another size, which ${ids.length === 1 ? "counts" : "count"} as unchecked (sure to 1 %).`,
      remedy:
        "Name them as a print of their own with its two bars, or measure a length to one of them.",
    });
  return [...new Set(others.map((board) => printOf(job, board)))].map(unknownPrint);
};

const unknownPrint = (key: string): PrintStatement => ({
  key,
  scaleSd: uncheckedPrintSd,
  widthSd: uncheckedStretchSd,
  heightSd: uncheckedStretchSd,
});

type PrintCheck = JobFile["boards"]["printCheck"];

/** All sets with their scales and spreads; null (with a remark) where readings cannot be right. */
export const statePrints = (job: JobFile, remarks: Remark[]): PrintStatement[] | null => {
  const { printCheck, cellMm, sets = [] } = job.boards;
  const stated = [
    statePrint(firstSet, printCheck, cellMm, remarks),
    ...sets.map((set) => statePrint(keyOf(set.name), set.printCheck, cellMm, remarks)),
  ];
  return stated.every((print) => print !== null) ? stated : null;
};

const statePrint = (
  key: string,
  printCheck: PrintCheck,
  cellMm: number,
  remarks: Remark[],
): PrintStatement | null => {
  if (!printCheck) {
    if (!remarks.some(({ code }) => code === "print-unchecked")) remarks.push(unchecked);
    return unknownPrint(key);
  }
  const checked = checkPrint(cellMm, printCheck);
  if (!checked.ok) {
    remarks.push(checked.remark);
    return null;
  }
  remarks.push(...checked.remarks);
  const { width, height, widthSd, heightSd, rulerSd } = checked;
  return { key, scaleSd: rulerSd, width, height, widthSd, heightSd };
};

const unchecked: Remark = {
  code: "print-unchecked",
  severity: "warning",
  message:
    "The print was not checked with a ruler, so the scale is only as sure as an unknown " +
    "printer (within 1 %) and the measured lengths make it.",
  remedy: "Measure the two check bars on one printed page and type what the ruler says.",
};
