/**
 * `npm run bench:corners`: how exactly the features of a board are placed, beside Debian's OpenCV
 * (every corner refinement, and saddle refinement of the ring from start points within 0.4 px, windows
 * chosen in its favour) and Debian's AprilTag on the same pictures, and beside the Cramer-Rao bound.
 * Pictures come from the exact renderer. Options: --quick for a small part. Last line: one JSON.
 */
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { loadOpenCV } from "@opencvjs/web";
import { ringSaddlePoints, tagOutline } from "../../src/boards/pattern.ts";
import { findBoards } from "../../src/detection/find-boards.ts";
import type { BoardView } from "../../src/detection/findings.ts";
import { applyHomography, fitHomography } from "../../src/detection/homography.ts";
import { openCvTagFinder } from "../../src/detection/opencv-tag-finder.ts";
import { featurePoints } from "../../src/detection/pattern-features.ts";
import { type PlaneMap, planeMap } from "../../src/detection/plane-map.ts";
import { phoneLens, printPose } from "../tools/board-poses.ts";
import { writePgm } from "../tools/pgm.ts";
import {
  developed,
  linearLight,
  type Print,
  rounded,
  type Scene,
  seededRandom,
  type ToneName,
  truePixel,
} from "../tools/render-board.ts";
import { cornerBound } from "./corner-bound.ts";
import { runNative } from "./native-tags.ts";

const quick = process.argv.includes("--quick");
const posesPerCell = 2;
const repeats = quick ? 2 : 4;
const id = 7;
const degree = Math.PI / 180;

interface Condition {
  readonly cellPx: number;
  readonly tiltDeg: number;
  readonly blurPx: number;
  readonly noise: number;
  readonly tone: ToneName;
  readonly sharpen: number;
  readonly covered: number;
}

const base = { noise: 2, tone: "sRGB", sharpen: 0, covered: 0 } as const;

function conditions(): Condition[] {
  const list: Condition[] = [];
  const cells = quick ? [5, 12] : [3, 5, 8, 14, 24];
  for (const cellPx of cells)
    for (const tiltDeg of quick ? [35] : [0, 35, 65])
      for (const blurPx of quick ? [0.8] : [0.6, 1.2, 2])
        list.push({ ...base, cellPx, tiltDeg, blurPx });
  const place = { tiltDeg: 35, blurPx: 0.9 };
  for (const cellPx of quick ? [8] : [5, 12])
    for (const noise of [1, 5])
      for (const tone of ["linear", "sRGB", "S-curve"] as const)
        for (const sharpen of [0, 0.5])
          list.push({ ...place, cellPx, noise, tone, sharpen, covered: 0 });
  for (const covered of [0.1, 0.2]) list.push({ ...base, ...place, cellPx: 10, covered });
  return list;
}

/** Round grey discs on the ring (fingers, a cable) that cover about this share of the board. */
function discs(share: number): Print["discs"] {
  const radius = 1.25;
  const count = Math.round((share * 196) / (Math.PI * radius * radius));
  const places = [
    [-6, 6],
    [6, 1],
    [0, -6],
    [-6, -3],
    [6, -6],
    [1, 6],
    [-6, 1],
    [6, 5],
  ] as const;
  return places.slice(0, count).map(([x, y]) => [x, y, radius] as const);
}

interface Picture {
  readonly condition: number;
  readonly pose: number;
  readonly scene: Scene;
  readonly print: Print;
  readonly map: PlaneMap;
  readonly bound: number;
  readonly view: BoardView | null;
  readonly path: string;
}

interface NativeAnswer {
  readonly tags: Record<string, number[] | null>;
  readonly ring: Record<string, number[]>;
}

const folder = mkdtempSync(join(tmpdir(), "plumbshot-corners-"));
const finder = openCvTagFinder((await loadOpenCV()) as never);

function takePictures(condition: Condition, index: number): Picture[] {
  const random = seededRandom(1000 + index);
  const pictures: Picture[] = [];
  for (let pose = 0; pose < posesPerCell; pose++) {
    const size = Math.ceil(condition.cellPx * 19 + 24);
    const whole = phoneLens(4032, 3024);
    const lens = { ...whole, cx: whole.cx - 2600, cy: whole.cy - 2000 };
    const at = [size / 2 + random() - 0.5, size / 2 + random() - 0.5] as const;
    const cameraFromBoard = printPose(
      lens,
      at,
      condition.cellPx,
      condition.tiltDeg * degree,
      random() * Math.PI,
      random() * 2 * Math.PI,
    );
    const print: Print = { id, cameraFromBoard, discs: discs(condition.covered) };
    const scene: Scene = {
      width: size,
      height: size,
      lens,
      prints: [print],
      blurPx: condition.blurPx,
      tone: condition.tone,
      sharpen: condition.sharpen,
      noise: condition.noise,
      samples: condition.cellPx < 10 ? 16 : 8,
      seed: 1,
    };
    const map = planeMap(lens);
    const exact = condition.tone === "sRGB" && !condition.sharpen && !condition.covered;
    const bound = exact ? cornerBound(scene, print, map) : Number.NaN;
    const light = linearLight(scene);
    for (let repeat = 0; repeat < repeats; repeat++) {
      const seeded = { ...scene, seed: 97 * index + 11 * pose + repeat };
      const image = rounded(scene, developed(seeded, light));
      const path = join(folder, `${index}-${pose}-${repeat}.pgm`);
      writePgm(path, image);
      const found = findBoards(image, finder, { what: "boards", lens });
      const view = found.boards.find((b) => b.id === id) ?? null;
      pictures.push({ condition: index, pose, scene: seeded, print, map, bound, view, path });
    }
  }
  return pictures;
}

/** Squared error sums and mean errors of one method over the pictures of a condition. */
class Tally {
  private readonly byPose = new Map<number, { n: number; mean: Float64Array; squares: number }>();
  found = 0;

  add(pose: number, errors: Float64Array): void {
    let entry = this.byPose.get(pose);
    if (!entry) {
      entry = { n: 0, mean: new Float64Array(errors.length), squares: 0 };
      this.byPose.set(pose, entry);
    }
    if (entry.mean.length !== errors.length) return;
    this.found++;
    entry.n++;
    errors.forEach((e, i) => {
      entry.mean[i] += e;
      entry.squares += e * e;
    });
  }

  get rms(): number {
    let [sum, n] = [0, 0];
    for (const e of this.byPose.values()) {
      sum += e.squares;
      n += e.n * e.mean.length;
    }
    return Math.sqrt(sum / n);
  }

  /** Root mean square of the mean error, with the share that the noise alone leaves taken off. */
  get bias(): number {
    let [sum, n] = [0, 0];
    for (const e of this.byPose.values()) {
      if (e.n < 2) continue;
      const size = e.mean.length;
      const meanSquares = e.mean.reduce((s, m) => s + (m / e.n) ** 2, 0);
      const noise = (e.squares / e.n - meanSquares) / (e.n - 1);
      sum += Math.max(0, meanSquares - noise);
      n += size;
    }
    return n > 0 ? Math.sqrt(sum / n) : Number.NaN;
  }
}

function errorsAt(picture: Picture, points: ArrayLike<number>, pixels: ArrayLike<number>) {
  const errors = new Float64Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    const [x, y] = truePixel(picture.scene, picture.print, points[i], points[i + 1]);
    errors[i] = pixels[i] - x;
    errors[i + 1] = pixels[i + 1] - y;
  }
  return errors;
}

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

const list = conditions();
const pictures = list.flatMap((condition, index) => takePictures(condition, index));
const points = ringSaddlePoints();
const jitter = seededRandom(5);
/** Start points up to 0.4 px off in each direction: what a marker's corners predict at best. */
const startPoints = (p: Picture): number[] =>
  Array.from({ length: points.length / 2 }, (_, i) =>
    truePixel(p.scene, p.print, points[2 * i], points[2 * i + 1]),
  )
    .flat()
    .map((x) => x + 0.8 * (jitter() - 0.5));

const native = runNative<NativeAnswer>(
  "corners",
  pictures.map((p) => ({ path: p.path, id, ring: startPoints(p) })),
);

const totals = { squares: 0, n: 0, native: 0, nativeN: 0, nees: 0, neesN: 0, missed: 0, cells: 0 };
let [worstNative, worstBound, worstBias] = [0, 0, 0];
let [overNative, overBound, overBias] = [0, 0, 0];
console.log(
  "cell tilt blur noise tone    sharp cover | found  rms      bias     bound    x bound  NEES | best native                       rms     ratio",
);
list.forEach((condition, index) => {
  const ours = new Tally();
  const methods = new Map<string, Tally>();
  const method = (name: string) => {
    const known = methods.get(name) ?? new Tally();
    methods.set(name, known);
    return known;
  };
  let [neesSum, bound, count] = [0, 0, 0];
  pictures.forEach((picture, k) => {
    if (picture.condition !== index) return;
    count++;
    bound += picture.bound;
    const { view } = picture;
    if (view) {
      const errors = errorsAt(picture, view.boardPoints, view.pixels);
      ours.add(picture.pose, errors);
      neesSum += nees(view, errors);
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
  const complete = [...methods].filter(([, t]) => t.found === count);
  const best = complete.sort(([, a], [, b]) => a.rms - b.rms)[0];
  bound /= count;
  const ratio = ours.rms / best[1].rms;
  const overTheBound = ours.rms / bound;
  totals.cells++;
  totals.missed += count - ours.found;
  if (ours.found > 0) {
    totals.squares += ours.rms ** 2;
    totals.native += best[1].rms ** 2;
    totals.n++;
    totals.nees += neesSum;
    totals.neesN += ours.found;
    worstNative = Math.max(worstNative, ratio);
    if (ratio > 0.25) overNative++;
    if (Number.isFinite(overTheBound)) worstBound = Math.max(worstBound, overTheBound);
    if (overTheBound > 1.5) overBound++;
    worstBias = Math.max(worstBias, ours.bias || 0);
    if (ours.bias > 0.01) overBias++;
  }
  const f = (x: number, digits = 4, width = 8) =>
    (Number.isFinite(x) ? x.toFixed(digits) : "-").padEnd(width);
  const c = condition;
  console.log(
    `${String(c.cellPx).padEnd(4)} ${String(c.tiltDeg).padEnd(4)} ${f(c.blurPx, 1, 4)} ${String(c.noise).padEnd(5)} ${c.tone.padEnd(7)} ${f(c.sharpen, 1, 5)} ${f(c.covered, 1, 5)} | ${ours.found}/${count}`.padEnd(
      53,
    ) +
      `  ${f(ours.rms)} ${f(ours.bias)} ${f(bound)} ${f(overTheBound, 2)} ${f(neesSum / ours.found, 2, 4)} | ${best[0].padEnd(33)} ${f(best[1].rms, 4, 7)} ${f(ratio, 3)}`,
  );
});
rmSync(folder, { recursive: true });
console.log(
  `${totals.cells} cells; ours above 1/4 of the best native in ${overNative}, above 1.5 x the bound in ${overBound}, bias above 0.01 px in ${overBias}; ${totals.missed} of ${pictures.length} pictures without a find`,
);
console.log(
  JSON.stringify({
    rms_px: Math.sqrt(totals.squares / totals.n),
    best_native_rms_px: Math.sqrt(totals.native / totals.n),
    worst_ratio_native: worstNative,
    worst_ratio_bound: worstBound,
    worst_bias_px: worstBias,
    nees: totals.nees / totals.neesN,
    missed: totals.missed,
    pictures: pictures.length,
  }),
);
process.exit(0);
