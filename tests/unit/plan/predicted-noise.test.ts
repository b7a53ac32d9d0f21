/** The noise that the plan foretells of a board's corners, beside what the finder states on pictures. */
import { loadOpenCV } from "@opencvjs/web";
import { expect, test } from "vitest";
import type { BoardObservation } from "../../../src/adjust/problem/problem.ts";
import { findBoards } from "../../../src/detect/find-boards.ts";
import { boardTagFinder } from "../../../src/detect/tags/opencv-tag-finder.ts";
import type { Lens } from "../../../src/lens/lens.ts";
import { expRotation, type Pose, type Vec3 } from "../../../src/maths/pose.ts";
import { predictedObservation, seeBoard } from "../../../src/plan/view/predicted-view.ts";
import { developed, linearLight, rounded, type Scene } from "../../tools/render-board.ts";

const lens: Lens = { fx: 900, fy: 900, cx: 319.5, cy: 239.5, k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 };
const noise = 3;
const blurPx = 0.9;

/** Standard deviation of a shift of the whole board in one direction, all else known, px. */
function sdOfShift({ noise: stated }: Pick<BoardObservation, "noise">, along: 0 | 1): number {
  if (stated.kind === "isotropic") throw new Error("both state full covariances");
  const { rows, sqrtInformation: w } = stated;
  const columns = w.length / rows;
  let information = 0;
  for (let row = 0; row < rows; row++) {
    let sum = 0;
    for (let at: number = along; at < columns; at += 2) sum += w[row * columns + at];
    information += sum ** 2;
  }
  return 1 / Math.sqrt(information);
}

const views: readonly (readonly [name: string, cells: number, turn: Vec3])[] = [
  ["near, facing", 70, [Math.PI, 0, 0]],
  ["far, facing", 130, [Math.PI, 0, 0]],
  ["slanted to the side", 80, [Math.PI, 0.9, 0]],
  ["lying, seen from above", 80, [Math.PI - 0.9, 0, 0.2]],
];

test.each(views)("%s: foretold within 40 %% of stated", async (_name, cells, turn) => {
  const finder = boardTagFinder((await loadOpenCV()) as never);
  const cameraFromBoard: Pose = { R: expRotation(turn), t: [0.3, -0.2, cells] };
  const scene: Scene = {
    ...{ width: 640, height: 480, lens, blurPx, tone: "sRGB", noise, seed: 5, samples: 4 },
    prints: [{ id: 31, cameraFromBoard }],
  };
  const light = linearLight(scene);
  const picture = rounded(scene, developed(scene, light));
  const [found] = findBoards(picture, finder, { what: "boards", lens }).boards;
  expect(found?.id).toBe(31);
  const still = rounded(scene, developed({ ...scene, noise: 0 }, light)).data;
  const seen = seeBoard(lens, cameraFromBoard, 1);
  if (!seen) throw new Error("the board is in view");
  // Black and white of the print as the picture has them, at the board's middle.
  const [x, y] = [Math.round(seen.pixels[14]), Math.round(seen.pixels[15])];
  const reach = Math.round(4 * seen.cellPx);
  let [dark, bright] = [255, 0];
  for (let v = y - reach; v <= y + reach; v++) {
    for (let u = x - reach; u <= x + reach; u++) {
      dark = Math.min(dark, still[v * 640 + u]);
      bright = Math.max(bright, still[v * 640 + u]);
    }
  }
  const quality = { contrast: bright - dark, noise, blurPx, fieldPx: 0 };
  const foretold = predictedObservation("p", "31", seen, quality);
  for (const along of [0, 1] as const) {
    const ratio = sdOfShift(foretold, along) / sdOfShift(found, along);
    expect(ratio).toBeGreaterThan(0.6);
    expect(ratio).toBeLessThan(1.4);
  }
});
