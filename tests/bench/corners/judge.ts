import type { MeasuredCell } from "./cells.ts";

/** A cell is good at this share of the best native error, or at this multiple of the bound. */
const goodNative = 0.25;
const goodBound = 1.3;
/** What an effect has to keep: bias, px, and mean normalised error squared. */
const mostBiasPx = 0.02;
const [leastNees, mostNees] = [0.8, 1.3];

const isGood = ({ found, rms, best, bound }: MeasuredCell): boolean =>
  found > 0 && (rms <= goodNative * best.rms || (bound !== null && rms <= goodBound * bound));

interface EffectSummary {
  readonly name: string;
  readonly bias: number;
  readonly nees: number;
  /** Share of the views that were graded less than good. */
  readonly weak: number;
}

/** Each of a phone's effects over all its cells. */
function byEffect(all: readonly MeasuredCell[]): EffectSummary[] {
  const names = [...new Set(all.map(({ name }) => name))];
  return names.map((name) => {
    const of = all.filter((cell) => cell.name === name);
    const found = of.reduce((sum, cell) => sum + cell.found, 0);
    const mean = (value: (cell: MeasuredCell) => number) =>
      of.reduce((sum, cell) => sum + value(cell), 0) / found;
    return {
      name,
      bias: Math.sqrt(mean((cell) => cell.found * (cell.bias ?? 0) ** 2)),
      nees: mean((cell) => cell.found * cell.nees),
      weak: mean((cell) => cell.weak),
    };
  });
}

export const cellsHead =
  "cell condition                                       | found  rms      bias     bound    x bound  NEES  | best native                       rms     ratio";

/** One line of the table. */
export function cellWords(cell: MeasuredCell): string {
  const f = (x: number | null, digits = 4, width = 8) =>
    (x !== null && Number.isFinite(x) ? x.toFixed(digits) : "-").padEnd(width);
  const { found, pictures, rms, bias, bound, nees, best } = cell;
  const ours = `${`${found}/${pictures}`.padEnd(6)} ${f(rms)} ${f(bias)}`;
  const ofBound = `${f(bound)} ${f(bound && rms / bound, 2)} ${f(nees, 2, 5)}`;
  const native = `${best.name.padEnd(33)} ${f(best.rms, 4, 7)} ${f(rms / best.rms, 3)}`;
  return `${String(cell.cellPx).padEnd(4)} ${cell.name.padEnd(47)} | ${ours} ${ofBound} | ${native}`;
}

/** Prints what is outside the bars, and all in one JSON line. */
export function judge(cells: readonly MeasuredCell[]): void {
  const seen = cells.filter(({ found }) => found > 0);
  const missed = cells.reduce((sum, { found, pictures }) => sum + pictures - found, 0);
  const pictures = cells.reduce((sum, cell) => sum + cell.pictures, 0);
  const ratios = seen.map(({ rms, best }) => rms / best.rms);
  const overTheBound = seen
    .filter(({ tone }) => tone === "sRGB")
    .flatMap(({ rms, bound }) => (bound === null ? [] : [rms / bound]));
  const beyondReach = seen.filter(({ bound, best }) => bound && bound > goodNative * best.rms);
  const biases = seen.map(({ bias }) => bias ?? 0);
  const outside = cells.filter((cell) => !isGood(cell));
  const effects = byEffect(seen.filter(({ phone }) => phone));
  const unlike = effects.filter(
    ({ bias, nees }) => bias > mostBiasPx || nees < leastNees || nees > mostNees,
  );
  if (effects.length > 0) console.log("\neffect              bias     NEES   weak");
  for (const { name, bias, nees, weak } of effects)
    console.log(
      `${name.padEnd(19)} ${bias.toFixed(4).padEnd(8)} ${nees.toFixed(2).padEnd(6)} ${weak.toFixed(2)}`,
    );
  for (const { cellPx, name } of outside) console.log(`outside: ${cellPx} px, ${name}`);
  const above = (values: readonly number[], bar: number) => values.filter((x) => x > bar).length;
  console.log(
    `${cells.length} cells, ${cells.length - seen.length} without any find. Ours above 1/4 of the best native in ` +
      `${above(ratios, goodNative)} (in ${beyondReach.length} cells 1/4 lies below the Cramer-Rao bound: native starts ` +
      `from the true places), above 1.3 x the bound in ${above(overTheBound, goodBound)} of ${overTheBound.length}, ` +
      `bias above 0.01 px in ${above(biases, 0.01)}; ${missed} of ${pictures} pictures without a find`,
  );
  const found = seen.reduce((sum, cell) => sum + cell.found, 0);
  console.log(
    JSON.stringify({
      cells: cells.length,
      rms_px: rootMeanSquare(seen.map(({ rms }) => rms)),
      best_native_rms_px: rootMeanSquare(seen.map(({ best }) => best.rms)),
      worst_ratio_native: Math.max(...ratios),
      worst_ratio_bound: Math.max(...overTheBound),
      worst_bias_px: Math.max(...biases),
      nees: seen.reduce((sum, cell) => sum + cell.nees * cell.found, 0) / found,
      cells_outside: outside.length,
      worst_effect_bias_px: Math.max(0, ...effects.map(({ bias }) => bias)),
      effects_outside: unlike.map(({ name }) => name),
      effects_overconfident: unlike.filter(({ nees }) => nees > mostNees).map(({ name }) => name),
      missed,
      pictures,
    }),
  );
}

const rootMeanSquare = (values: readonly number[]) =>
  Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / values.length);
