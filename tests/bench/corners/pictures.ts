import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { type PlaneMap, planeMap } from "../../../src/detect/picture/plane-map.ts";
import type { LumaImage } from "../../../src/photo/grey/luma.ts";
import { phoneLens, printPoseSeen } from "../../tools/board-poses.ts";
import { readPgm, writePgm } from "../../tools/pgm.ts";
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
import { type Condition, discs, nameOf } from "./conditions.ts";
import { type Development, developColours, greyOf } from "./develop.ts";
import { coloursOf } from "./optics.ts";
import { phoneSlopes } from "./phone-slopes.ts";

/** Board in all pictures of the table. */
export const boardId = 7;
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
   * Cramer-Rao bound, px, for whoever knows the tone curve, and sees the light with its noise before
   * anything but a JPEG file is made of it: what sharpening makes of these grey values cannot tell more
   * than they do. NaN if covered.
   */
  readonly bound: number;
  readonly image: LumaImage;
  readonly path: string;
}

interface Amount {
  readonly poses: number;
  /** Pictures of each pose. */
  readonly times: number;
  readonly seed: number;
}

/**
 * Renders the pictures of one cell of the table into `folder`; which others are wanted changes none.
 * Pictures that the folder holds are read.
 */
export function takePictures(
  condition: Condition,
  { poses, times, seed }: Amount,
  folder: string,
): Picture[] {
  const start = numberOf(`${condition.cellPx} ${nameOf(condition)} ${seed}`);
  const random = seededRandom(start);
  const pictures: Picture[] = [];
  const { effect } = condition;
  for (let pose = 0; pose < poses; pose++) {
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
    const paths = Array.from({ length: times }, (_, k) =>
      join(folder, `${start}-${pose}-${k}.pgm`),
    );
    const known = paths.every((path) => existsSync(boundPath(path)));
    const develop = known ? null : developing(condition, scene, print, map);
    paths.forEach((path, repeat) => {
      const seeded = { ...scene, seed: start + 11 * pose + repeat };
      const made = develop?.(seeded);
      if (made) {
        writePgm(path, made.image);
        writeFileSync(boundPath(path), `${made.bound}`);
      }
      const image = made?.image ?? readPgm(path);
      const bound = made?.bound ?? Number(readFileSync(boundPath(path), "utf8"));
      pictures.push({ condition, pose, scene: seeded, print, map, bound, image, path });
    });
  }
  return pictures;
}

/** The file that tells a picture's bound; the last one to be written. */
const boundPath = (picture: string): string => picture.replace(/pgm$/, "bound");

/** Makes pictures of a scene: the light once, and what a seed and the phone make of it. */
function developing(condition: Condition, scene: Scene, print: Print, map: PlaneMap) {
  const { effect } = condition;
  const plain = { ...scene, sharpen: 0 };
  const slopes = effect ? phoneSlopes(scene, effect) : condition.covered ? null : slopesOf(plain);
  const light = effect ? coloursOf(scene, effect.optics) : [linearLight(scene)];
  const file = effect && fileOf(effect.development, greyOf(light, effect.development.tone));
  return (seeded: Scene) => ({
    bound: slopes
      ? cornerBound(scene, print, map, slopes, file && { ...file, seed: seeded.seed })
      : Number.NaN,
    image: rounded(
      scene,
      effect
        ? developColours(light, scene.width, effect.development, seeded.seed)
        : developed(seeded, light[0]),
    ),
  });
}

/** A number for a text (Fowler, Noll and Vo's hash, FNV-1a). */
function numberOf(text: string): number {
  let hash = 0x811c9dc5;
  for (const letter of text) hash = Math.imul(hash ^ letter.charCodeAt(0), 0x01000193);
  return hash >>> 4;
}

/** What a file keeps, where noise is white when it is made: nothing else was done to the picture. */
const fileOf = ({ jpeg, denoise, halo, localTone }: Development, grey: Float64Array) =>
  jpeg && !denoise && !halo && !localTone ? { quality: jpeg, grey } : undefined;

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
