import { join } from "node:path";
import { type PlaneMap, planeMap } from "../../src/detect/picture/plane-map.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { phoneLens, printPoseSeen } from "../tools/board-poses.ts";
import { writePgm } from "../tools/pgm.ts";
import {
  developed,
  linearLight,
  type Print,
  rounded,
  type Scene,
  seededRandom,
  truePixel,
} from "../tools/render-board.ts";
import { cornerBound } from "./corner-bound.ts";
import { type Condition, discs } from "./corner-conditions.ts";

/** Board in all pictures of the table. */
export const boardId = 7;
const posesPerCell = 2;
const degree = Math.PI / 180;

export interface Picture {
  readonly condition: Condition;
  readonly pose: number;
  readonly scene: Scene;
  readonly print: Print;
  readonly map: PlaneMap;
  /** Cramer-Rao bound, px, for whoever knows the tone curve; NaN if sharpened or covered. */
  readonly bound: number;
  readonly image: LumaImage;
  readonly path: string;
}

/** Renders the pictures of one cell of the table into `folder`, `repeats` for each pose. */
export function takePictures(
  condition: Condition,
  index: number,
  repeats: number,
  folder: string,
): Picture[] {
  const random = seededRandom(1000 + index);
  const pictures: Picture[] = [];
  for (let pose = 0; pose < posesPerCell; pose++) {
    const size = Math.ceil(condition.cellPx * 19 + 24);
    const whole = phoneLens(4032, 3024);
    const lens = { ...whole, cx: whole.cx - 2600, cy: whole.cy - 2000 };
    const at = [size / 2 + random() - 0.5, size / 2 + random() - 0.5] as const;
    const cameraFromBoard = printPoseSeen(
      lens,
      at,
      condition.cellPx,
      condition.tiltDeg * degree,
      random() * Math.PI,
      random() * 2 * Math.PI,
    );
    const print: Print = { id: boardId, cameraFromBoard, discs: discs(condition.covered) };
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
    const free = !condition.sharpen && !condition.covered;
    const bound = free ? cornerBound(scene, print, map) : Number.NaN;
    const light = linearLight(scene);
    for (let repeat = 0; repeat < repeats; repeat++) {
      const seeded = { ...scene, seed: 97 * index + 11 * pose + repeat };
      const image = rounded(scene, developed(seeded, light));
      const path = join(folder, `${index}-${pose}-${repeat}.pgm`);
      writePgm(path, image);
      pictures.push({ condition, pose, scene: seeded, print, map, bound, image, path });
    }
  }
  return pictures;
}

/** Pixels minus the true places of the board points, x and y in turn. */
export function errorsAt(picture: Picture, points: ArrayLike<number>, pixels: ArrayLike<number>) {
  const errors = new Float64Array(points.length);
  for (let i = 0; i < points.length; i += 2) {
    const [x, y] = truePixel(picture.scene, picture.print, points[i], points[i + 1]);
    errors[i] = pixels[i] - x;
    errors[i + 1] = pixels[i + 1] - y;
  }
  return errors;
}
