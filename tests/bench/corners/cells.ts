import { appendFileSync, existsSync, readFileSync } from "node:fs";
import { z } from "zod";

/** What came out of one cell of the table; lengths in px. */
const measuredCell = z.strictObject({
  version: z.literal(1),
  cellPx: z.number(),
  name: z.string(),
  phone: z.boolean(),
  tone: z.string(),
  /** Numbers that its pictures were drawn from. */
  seeds: z.array(z.int()),
  pictures: z.int(),
  found: z.int(),
  rms: z.number(),
  /** Null where each pose had one picture. */
  bias: z.number().nullable(),
  /** Cramer-Rao bound; null where the picture is covered. */
  bound: z.number().nullable(),
  nees: z.number(),
  /** Views that were graded less than good. */
  weak: z.int(),
  best: z.strictObject({ name: z.string(), rms: z.number() }),
});
export type MeasuredCell = z.infer<typeof measuredCell>;

export const saveCell = (file: string, cell: MeasuredCell): void =>
  appendFileSync(file, `${JSON.stringify(cell)}\n`);

/**
 * All cells of a file, one for each condition: what was measured with other seeds is added up, what
 * was measured again with the same takes the place of the earlier. A missing file holds none.
 */
export function savedCells(file: string): MeasuredCell[] {
  if (!existsSync(file)) return [];
  const lines = readFileSync(file, "utf8").trim().split("\n").filter(Boolean);
  const latest = new Map<string, MeasuredCell>();
  for (const [k, line] of lines.entries()) {
    const parsed = measuredCell.safeParse(JSON.parse(line));
    if (!parsed.success)
      throw new Error(`${file}, line ${k + 1}: ${z.prettifyError(parsed.error)}`);
    const cell = parsed.data;
    latest.set(`${cell.cellPx} ${cell.name} ${cell.seeds}`, cell);
  }
  const sums = new Map<string, MeasuredCell>();
  for (const cell of latest.values()) {
    const key = `${cell.cellPx} ${cell.name}`;
    const before = sums.get(key);
    sums.set(key, before ? together(before, cell) : cell);
  }
  return [...sums.values()];
}

/** The best native way is the better one of each part: a bar that is never lower than that of all. */
function together(a: MeasuredCell, b: MeasuredCell): MeasuredCell {
  const found = a.found + b.found;
  const mean = (x: number, y: number) => (found ? (a.found * x + b.found * y) / found : x);
  const quadratic = (x: number, y: number) => Math.sqrt(mean(x * x, y * y));
  const known = (x: number | null, y: number | null) =>
    x === null ? y : y === null ? x : quadratic(x, y);
  return {
    ...a,
    seeds: [...a.seeds, ...b.seeds],
    pictures: a.pictures + b.pictures,
    found,
    rms: quadratic(a.rms, b.rms),
    bias: known(a.bias, b.bias),
    bound: known(a.bound, b.bound),
    nees: mean(a.nees, b.nees),
    weak: a.weak + b.weak,
    best: { name: a.best.name, rms: quadratic(a.best.rms, b.best.rms) },
  };
}
