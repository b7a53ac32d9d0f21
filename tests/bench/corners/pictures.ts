import { join } from "node:path";
import { type PlaneMap, planeMap } from "../../../src/detect/picture/plane-map.ts";
import type { LumaImage } from "../../../src/photo/grey/luma.ts";
import { phoneLens, printPoseSeen } from "../../tools/board-poses.ts";
import { writePgm } from "../../tools/pgm.ts";
import {
  developed,
  linearLight,
  type Print,
  rounded,
  type Scene,
  seededRandom,
  truePixel,
} from "../../tools/render-board.ts";
import { cornerBound, slopesOf } from "./bound.ts";
import { type Condition, discs } from "./conditions.ts";
import { developColours } from "./develop.ts";
import { coloursOf } from "./optics.ts";
import { phoneSlopes } from "./phone-slopes.ts";

/** Board in all pictures of the table. */
export const boardId = 7;
const posesPerCell = 2;
/** Tilts of the poses of one phone condition, degrees. */
const phoneTilts = [35, 10, 60];
const degree = Math.PI / 180;

export interface Picture {
  readonly condition: Condition;
  readonly pose: number;
  readonly scene: Scene;
  readonly print: Print;
  readonly map: PlaneMap;
  /**
   * Cramer-Rao bound, px, for whoever knows the tone curve, and sees a phone's light with its noise
   * before anything is made of it; NaN if sharpened or covered.
   */
  readonly bound: number;
  readonly image: LumaImage;
  readonly path: string;
}

/** Renders the pictures of one cell of the table into `folder`, `repeats` for each pose. */
export function takePictures(
  condition: Condition,
  index: number,
  repeats: number,
  poses: number,
  folder: string,
): Picture[] {
  const random = seededRandom(1000 + index);
  const pictures: Picture[] = [];
  const { effect } = condition;
  for (let pose = 0; pose < (effect ? poses : posesPerCell); pose++) {
    const tiltDeg = effect ? phoneTilts[pose % phoneTilts.length] : condition.tiltDeg;
    const size = Math.ceil(condition.cellPx * 19 + 24);
    const whole = phoneLens(4032, 3024);
    const lens = { ...whole, cx: whole.cx - 2600, cy: whole.cy - 2000 };
    const at = [size / 2 + random() - 0.5, size / 2 + random() - 0.5] as const;
    const cameraFromBoard = printPoseSeen(
      lens,
      at,
      condition.cellPx,
      tiltDeg * degree,
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
      samples: condition.cellPx < 10 && !effect ? 16 : 8,
      lightSlope: effect?.lightSlope,
      seed: 1,
    };
    const map = planeMap(lens);
    const free = !condition.sharpen && !condition.covered;
    const slopes = effect ? phoneSlopes(scene, effect) : free ? slopesOf(scene) : null;
    const bound = slopes ? cornerBound(scene, print, map, slopes) : Number.NaN;
    const light = effect ? coloursOf(scene, effect.optics) : [linearLight(scene)];
    for (let repeat = 0; repeat < repeats; repeat++) {
      const seeded = { ...scene, seed: 97 * index + 11 * pose + repeat };
      const grey = effect
        ? developColours(light, size, effect.development, seeded.seed)
        : developed(seeded, light[0]);
      const image = rounded(scene, grey);
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
