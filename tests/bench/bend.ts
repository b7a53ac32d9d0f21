/**
 * Boards whose paper is bent: errors of the features and what they claim, with the bend in the fit and
 * with the same fit held flat, on the same pictures. Sagittas over the width of a board with 13 mm
 * cells; the truth is an exact cylinder.
 */
import { loadOpenCV } from "@opencvjs/web";
import { tagOutline } from "../../src/boards/pattern.ts";
import { findBoards } from "../../src/detect/find-boards.ts";
import type { FeatureNoise } from "../../src/detect/findings/findings.ts";
import { planeMap } from "../../src/detect/picture/plane-map.ts";
import {
  fitPattern,
  newPatternWorkspace,
  patternFeatures,
} from "../../src/detect/print-fit/print-fit.ts";
import { fitRing } from "../../src/detect/ring/ring-fit.ts";
import { boardTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { phoneLens, printPoseSeen } from "../tools/board-poses.ts";
import {
  type Print,
  renderScene,
  type Scene,
  seededRandom,
  truePixel,
} from "../tools/render-board.ts";

const cellMm = 13;
const cellsAcross = 14;
const whole = phoneLens(4032, 3024);
const lens = { ...whole, cx: whole.cx - 1800, cy: whole.cy - 1300 };
const map = planeMap(lens);
const finder = boardTagFinder((await loadOpenCV()) as never);

interface Features {
  readonly boardPoints: Float64Array;
  readonly pixels: Float64Array;
  readonly noise: FeatureNoise;
}

/** Sums over the views of one row. */
class Tally {
  squares = 0;
  count = 0;
  nees = 0;
  ranks = 0;
  views = 0;
  bent = 0;

  add({ boardPoints, pixels, noise }: Features, scene: Scene, print: Print): void {
    const errors = pixels.map((p, i) => {
      const at = i - (i % 2);
      return p - truePixel(scene, print, boardPoints[at], boardPoints[at + 1])[i % 2];
    });
    this.views++;
    this.squares += errors.reduce((sum, e) => sum + e * e, 0);
    this.count += errors.length;
    if (noise.kind !== "full") return;
    if (noise.rows > 8) this.bent++;
    this.ranks += noise.rows;
    for (let r = 0; r < noise.rows; r++) {
      const from = r * errors.length;
      this.nees += errors.reduce((sum, e, i) => sum + noise.sqrtInformation[from + i] * e, 0) ** 2;
    }
  }

  get rms(): number {
    return Math.sqrt(this.squares / this.count);
  }
}

function sceneOf(sagittaMm: number, cellPx: number, tiltDeg: number, seed: number) {
  const random = seededRandom(1000 * cellPx + 10 * tiltDeg + seed);
  const size = Math.ceil(23 * cellPx);
  const pose = printPoseSeen(
    lens,
    [size / 2 + random(), size / 2 + random()],
    cellPx,
    (tiltDeg * Math.PI) / 180,
    6 * random(),
    6 * random(),
  );
  const bend = (8 * (sagittaMm / cellMm)) / cellsAcross ** 2;
  const print: Print = { id: 7, cameraFromBoard: pose, bend: seed % 2 ? bend : -bend };
  const shown = { width: size, height: size, lens, prints: [print] };
  const scene: Scene = { ...shown, blurPx: 0.9, tone: "sRGB", noise: 2, seed };
  return { scene, print };
}

/** The same fit without a bend: a map that keeps the lens to itself. */
function heldFlat(image: LumaImage, scene: Scene, print: Print): Features | null {
  const corners = [0, 2, 4, 6].flatMap((i) =>
    truePixel(scene, print, tagOutline[i], tagOutline[i + 1]),
  );
  const ring = fitRing(image, corners, map);
  if (!ring) return null;
  const flat = { ...map, lens: null };
  const fit = fitPattern(image, { id: 7, fit: ring }, flat, newPatternWorkspace());
  return fit && patternFeatures(fit, map);
}

const rows: Record<string, { rms_px: number; flat_rms_px: number; nees: number }> = {};
console.log("sagitta mm | found bent  rms px  NEES | held flat: fits  rms px  NEES | ratio");
for (const sagittaMm of [0, 0.2, 0.5, 1, 2]) {
  const [ours, flat] = [new Tally(), new Tally()];
  let pictures = 0;
  for (const cellPx of [5, 10])
    for (const tiltDeg of [10, 25, 40, 55, 65])
      for (const seed of [1, 2]) {
        const { scene, print } = sceneOf(sagittaMm, cellPx, tiltDeg, seed);
        const image = renderScene(scene);
        pictures++;
        const [view] = findBoards(image, finder, { what: "boards", lens }).boards;
        if (view) ours.add(view, scene, print);
        const held = heldFlat(image, scene, print);
        if (held) flat.add(held, scene, print);
      }
  const f = (x: number, digits: number) => x.toFixed(digits).padStart(7);
  console.log(
    `${f(sagittaMm, 1)} | ${ours.views}/${pictures} ${ours.bent} ${f(ours.rms, 4)} ${f(ours.nees / ours.ranks, 2)} |`,
    `${flat.views}/${pictures} ${f(flat.rms, 4)} ${f(flat.nees / flat.ranks, 2)} | ${f(ours.rms / flat.rms, 3)}`,
  );
  rows[`${sagittaMm}mm`] = {
    rms_px: ours.rms,
    flat_rms_px: flat.rms,
    nees: ours.nees / ours.ranks,
  };
}
console.log(JSON.stringify(rows));
