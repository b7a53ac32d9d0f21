/**
 * `npm run bench:corners`: how exactly the features of a board are placed, beside Debian's OpenCV
 * (every corner refinement, and saddle refinement of the ring from start points within 0.4 px, windows
 * chosen in its favour) and Debian's AprilTag on the same pictures, and beside the Cramer-Rao bound.
 * Pictures come from the exact renderer, and from one that follows rays through a phone's lens and its
 * development (corners/optics.ts, corners/develop.ts). A cell is good at 1/4 of the best native error or
 * at 1.3 x the bound. Options: --quick (a small part, within three minutes), --exact or --phone (one of
 * the two renderers), --only TEXT (conditions with this in their name). Last line: one JSON.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { loadOpenCV } from "@opencvjs/web";
import { ringSaddlePoints, tagOutline } from "../../src/boards/pattern.ts";
import { findBoards } from "../../src/detect/find-boards.ts";
import type { BoardView } from "../../src/detect/findings/findings.ts";
import { featurePoints } from "../../src/detect/print-fit/print-fit.ts";
import { boardTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import { applyHomography, fitHomography } from "../../src/maths/homography.ts";
import { seededRandom, truePixel } from "../tools/render-board.ts";
import { type Condition, conditions, nameOf } from "./corners/conditions.ts";
import { boardId, errorsAt, type Picture, takePictures } from "./corners/pictures.ts";
import { Tally } from "./corners/tally.ts";
import { runNative } from "./native-tags.ts";

const has = (option: string): boolean => process.argv.includes(option);
const quick = has("--quick");
const at = process.argv.indexOf("--only");
const choice = {
  quick,
  part: has("--phone") ? "phone" : has("--exact") ? "exact" : undefined,
  only: at > 0 ? process.argv[at + 1] : undefined,
} as const;
const repeats = { exact: quick ? 2 : 4, phone: quick ? 1 : 2 };
const phonePoses = quick ? 2 : 6;
/** A cell is good at this share of the best native error, or at this multiple of the bound. */
const goodNative = 0.25;
const goodBound = 1.3;
/** What a condition has to keep: bias, px, and mean normalised error squared. */
const mostBiasPx = 0.02;
const [leastNees, mostNees] = [0.8, 1.3];

interface NativeAnswer {
  readonly tags: Record<string, number[] | null>;
  readonly ring: Record<string, number[]>;
}

const folder = mkdtempSync(join(tmpdir(), "plumbshot-corners-"));
const finder = boardTagFinder((await loadOpenCV()) as never);

/** Saddle points of the ring to grid points by a homography (lens known): the best native way. */
function gridFromRing(picture: Picture, ring: readonly number[]): Float64Array | null {
  const h = fitHomography(ringSaddlePoints(), picture.map.toPlane(ring));
  if (!h) return null;
  const pixels = featurePoints.flatMap(([x, y]) =>
    picture.map.fromPlane(...applyHomography(h, x, y)),
  );
  return errorsAt(picture, featurePoints.flat(), pixels);
}

/** Corners in the order of the board, whatever order a library reports. */
function inBoardOrder(picture: Picture, corners: readonly number[]): Float64Array {
  const ordered = new Float64Array(8);
  for (let k = 0; k < 4; k++) {
    const [x, y] = truePixel(
      picture.scene,
      picture.print,
      tagOutline[2 * k],
      tagOutline[2 * k + 1],
    );
    let best = 0;
    for (let m = 1; m < 4; m++)
      if (
        Math.hypot(corners[2 * m] - x, corners[2 * m + 1] - y) <
        Math.hypot(corners[2 * best] - x, corners[2 * best + 1] - y)
      )
        best = m;
    ordered[2 * k] = corners[2 * best];
    ordered[2 * k + 1] = corners[2 * best + 1];
  }
  return ordered;
}

function nees(view: BoardView, errors: Float64Array): number {
  if (view.noise.kind === "isotropic")
    return errors.reduce((s, e) => s + e * e, 0) / errors.length / view.noise.sigmaPx ** 2;
  const { rows, sqrtInformation: w } = view.noise;
  let sum = 0;
  for (let r = 0; r < rows; r++) {
    let d = 0;
    for (let i = 0; i < errors.length; i++) d += w[r * errors.length + i] * errors[i];
    sum += (d * d) / rows;
  }
  return sum;
}

const points = ringSaddlePoints();
const jitter = seededRandom(5);
/** Start points up to 0.4 px off in each direction: what a marker's corners predict at best. */
const startPoints = (p: Picture): number[] =>
  Array.from({ length: points.length / 2 }, (_, i) =>
    truePixel(p.scene, p.print, points[2 * i], points[2 * i + 1]),
  )
    .flat()
    .map((x) => x + 0.8 * (jitter() - 0.5));

interface Row {
  readonly condition: Condition;
  readonly ours: Tally;
  readonly nees: number;
  /** Views that were graded less than good. */
  readonly weak: number;
  readonly pictures: number;
  /** Cramer-Rao bound, px, for whoever knows the tone curve; NaN if sharpened or covered. */
  readonly bound: number;
  readonly best: { readonly name: string; readonly rms: number };
}

function measure(condition: Condition, pictures: readonly Picture[], native: NativeAnswer[]): Row {
  const ours = new Tally();
  const methods = new Map<string, Tally>();
  const method = (name: string) => {
    const known = methods.get(name) ?? new Tally();
    methods.set(name, known);
    return known;
  };
  let [neesSum, boundSquares, weak] = [0, 0, 0];
  pictures.forEach((picture, k) => {
    boundSquares += picture.bound ** 2 / pictures.length;
    const found = findBoards(picture.image, finder, { what: "boards", lens: picture.scene.lens });
    const view = found.boards.find((b) => b.id === boardId);
    if (view) {
      const errors = errorsAt(picture, view.boardPoints, view.pixels);
      ours.add(picture.pose, errors);
      neesSum += nees(view, errors);
      if (view.quality.grade !== "good") weak++;
    }
    for (const [name, corners] of Object.entries(native[k].tags))
      if (corners) {
        const errors = errorsAt(picture, tagOutline, inBoardOrder(picture, corners));
        method(`${name} (tag corners)`).add(picture.pose, errors);
      }
    for (const [window, ring] of Object.entries(native[k].ring)) {
      const errors = gridFromRing(picture, ring);
      if (errors) method(`OpenCV saddles window ${window}`).add(picture.pose, errors);
    }
  });
  const complete = [...methods].filter(([, t]) => t.found === pictures.length);
  const [name, tally] = complete.sort(([, a], [, b]) => a.rms - b.rms)[0];
  const best = { name, rms: tally.rms };
  const bound = Math.sqrt(boundSquares);
  const row = { condition, ours, weak, pictures: pictures.length, bound, best };
  return { ...row, nees: neesSum / ours.found };
}

interface EffectSummary {
  readonly name: string;
  readonly bias: number;
  readonly nees: number;
  /** Share of the views that were graded less than good. */
  readonly weak: number;
}

/** Each effect over all its cells. */
function byEffect(all: readonly Row[]): EffectSummary[] {
  const names = [...new Set(all.map(({ condition }) => nameOf(condition)))];
  return names.map((name) => {
    const of = all.filter(({ condition }) => nameOf(condition) === name);
    const found = of.reduce((sum, { ours }) => sum + ours.found, 0);
    const mean = (value: (row: Row) => number) =>
      of.reduce((sum, row) => sum + value(row), 0) / found;
    return {
      name,
      bias: Math.sqrt(mean(({ ours }) => ours.found * (ours.bias || 0) ** 2)),
      nees: mean(({ ours, nees }) => ours.found * nees),
      weak: mean(({ weak }) => weak),
    };
  });
}

function rowWords({ condition: c, ours, nees, pictures, bound, best }: Row): string {
  const f = (x: number, digits = 4, width = 8) =>
    (Number.isFinite(x) ? x.toFixed(digits) : "-").padEnd(width);
  const conditionWords = [
    String(c.cellPx).padEnd(4),
    String(c.tiltDeg).padEnd(4),
    f(c.blurPx, 1, 4),
    String(c.noise).padEnd(5),
    ...(c.effect
      ? [c.effect.name.padEnd(19)]
      : [c.tone.padEnd(7), f(c.sharpen, 1, 5), f(c.covered, 1, 5)]),
  ].join(" ");
  const oursWords = `${`${ours.found}/${pictures}`.padEnd(6)} ${f(ours.rms)} ${f(ours.bias)}`;
  const boundWords = `${f(bound)} ${f(ours.rms / bound, 2)} ${f(nees, 2, 5)}`;
  const nativeWords = `${best.name.padEnd(33)} ${f(best.rms, 4, 7)} ${f(ours.rms / best.rms, 3)}`;
  return `${conditionWords} | ${oursWords} ${boundWords} | ${nativeWords}`;
}

console.log(
  "cell tilt blur noise tone    sharp cover | found  rms      bias     bound    x bound  NEES  | best native                       rms     ratio",
);
const rows: Row[] = [];
let pictureCount = 0;
/** Cells of the table that one start of the native program does. */
const perStart = 8;
const list = conditions(choice);
for (let first = 0; first < list.length; first += perStart) {
  const cells = list.slice(first, first + perStart).map((condition, k) => {
    const times = condition.effect ? repeats.phone : repeats.exact;
    return takePictures(condition, first + k, times, phonePoses, folder);
  });
  const native = runNative<NativeAnswer>(
    "corners",
    cells.flat().map((p) => ({ path: p.path, id: boardId, ring: startPoints(p) })),
  );
  for (const pictures of cells) {
    const row = measure(pictures[0].condition, pictures, native.splice(0, pictures.length));
    rows.push(row);
    pictureCount += pictures.length;
    console.log(rowWords(row));
    for (const { path } of pictures) rmSync(path);
  }
}
rmSync(folder, { recursive: true });

const seen = rows.filter(({ ours }) => ours.found > 0);
const missed = rows.reduce((sum, { ours, pictures }) => sum + pictures - ours.found, 0);
const ratios = seen.map(({ ours, best }) => ours.rms / best.rms);
const overTheBound = seen
  .filter(({ condition }) => condition.tone === "sRGB")
  .map(({ ours, bound }) => ours.rms / bound)
  .filter(Number.isFinite);
const beyondReach = seen.filter(({ bound, best }) => bound > 0.25 * best.rms).length;
const unseen = rows.filter(({ ours }) => ours.found === 0).length;
const biases = seen.map(({ ours }) => ours.bias || 0);
const isGood = ({ ours, best, bound }: Row): boolean =>
  ours.rms <= goodNative * best.rms || ours.rms <= goodBound * bound;
const outside = rows.filter((row) => row.ours.found === 0 || !isGood(row));
const effects = byEffect(seen.filter(({ condition }) => condition.effect));
const unlike = effects.filter(
  ({ bias, nees }) => bias > mostBiasPx || nees < leastNees || nees > mostNees,
);
if (effects.length > 0) {
  console.log("\neffect              bias     NEES   weak");
  for (const { name, bias, nees, weak } of effects)
    console.log(
      `${name.padEnd(19)} ${bias.toFixed(4).padEnd(8)} ${nees.toFixed(2).padEnd(6)} ${weak.toFixed(2)}`,
    );
}
for (const row of outside)
  console.log(`outside: ${row.condition.cellPx} px, ${nameOf(row.condition)}`);
const above = (values: readonly number[], bar: number) => values.filter((x) => x > bar).length;
const rootMeanSquare = (values: readonly number[]) =>
  Math.sqrt(values.reduce((sum, x) => sum + x * x, 0) / values.length);
console.log(
  `${rows.length} cells, ${unseen} without any find. Ours above 1/4 of the best native in ${above(ratios, 0.25)} ` +
    `(in ${beyondReach} cells 1/4 lies below the Cramer-Rao bound: native starts from the true places), ` +
    `above 1.3 x the bound in ${above(overTheBound, goodBound)} of ${overTheBound.length}, ` +
    `bias above 0.01 px in ${above(biases, 0.01)}; ${missed} of ${pictureCount} pictures without a find`,
);
console.log(
  JSON.stringify({
    rms_px: rootMeanSquare(seen.map(({ ours }) => ours.rms)),
    best_native_rms_px: rootMeanSquare(seen.map(({ best }) => best.rms)),
    worst_ratio_native: Math.max(...ratios),
    worst_ratio_bound: Math.max(...overTheBound),
    worst_bias_px: Math.max(...biases),
    nees:
      seen.reduce((sum, { nees, ours }) => sum + nees * ours.found, 0) /
      seen.reduce((sum, { ours }) => sum + ours.found, 0),
    cells_outside: outside.length,
    worst_effect_bias_px: Math.max(0, ...effects.map(({ bias }) => bias)),
    effects_outside: unlike.map(({ name }) => name),
    effects_overconfident: unlike.filter(({ nees }) => nees > mostNees).map(({ name }) => name),
    missed,
    pictures: pictureCount,
  }),
);
process.exit(0);
