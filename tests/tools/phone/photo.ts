/** A whole grey photo: regions around the prints, rendered and developed, on an even background. */
import type { TruePrint } from "./bay.ts";
import { seenInPhoto } from "./corners.ts";
import { type Development, develop, drawDevelopment, toneOf } from "./develop.ts";
import { apply, type Chance, type Rigid } from "./maths.ts";
import { paperOf } from "./pattern.ts";
import { addPrint, type Light, type Region } from "./render.ts";
import type { Shot } from "./shots.ts";

/** A print where it lies in the world of the shot. */
export interface Placed {
  readonly print: TruePrint;
  readonly worldFromBoard: Rigid;
}

export interface GreyPhoto {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8Array;
}

/** Reflectance of floor and walls. */
const around = 0.35;
/** Left free around the paper: blur, sharpening and the tag finder look beyond the print. */
const marginPx = 32;

export const takePhoto = (shot: Shot, prints: readonly Placed[], c: Chance): GreyPhoto => {
  const { width, height } = shot.phone.lens;
  const how = drawDevelopment(c);
  const data = new Uint8Array(width * height).fill(background(how));
  for (const { region, members } of merged(regionsOf(shot, prints))) {
    const light = evenLight(region);
    for (const { print, worldFromBoard } of members)
      addPrint(light, region, shot, print, worldFromBoard, around);
    paste(data, width, region, develop(light, region, how, c));
  }
  return { width, height, data };
};

const background = (how: Development): number =>
  Math.round(255 * toneOf(how.toneS)(how.exposure * around));

const evenLight = ({ width, height }: Region): Light => {
  const plane = () => new Float32Array(width * height).fill(around);
  return [plane(), plane(), plane()];
};

interface Group {
  readonly region: Region;
  readonly members: readonly Placed[];
}

const regionsOf = (shot: Shot, prints: readonly Placed[]): Group[] =>
  prints.flatMap((placed) => {
    const region = regionOf(shot, placed);
    return region ? [{ region, members: [placed] }] : [];
  });

/** The paper's outline with a margin, cut at the frame, at multiples of 8 px; null where nothing is seen. */
const regionOf = (shot: Shot, { print, worldFromBoard }: Placed): Region | null => {
  const { width, height } = shot.phone.lens;
  const [hx, hy] = paperOf(print);
  let [left, top, right, bottom] = [width, height, 0, 0];
  for (const [x, y] of [
    [-hx, -hy],
    [hx, -hy],
    [hx, hy],
    [-hx, hy],
  ]) {
    const flat = apply(worldFromBoard, [x * print.cellX, y * print.cellY, 0]);
    const seen = seenInPhoto(shot, flat);
    if (!seen) return null;
    left = Math.min(left, seen[0] - marginPx);
    right = Math.max(right, seen[0] + marginPx);
    top = Math.min(top, seen[1] - marginPx);
    bottom = Math.max(bottom, seen[1] + marginPx);
  }
  return rectangle(
    Math.max(0, Math.floor(left / 8) * 8),
    Math.max(0, Math.floor(top / 8) * 8),
    Math.min(width, Math.ceil(right / 8) * 8),
    Math.min(height, Math.ceil(bottom / 8) * 8),
  );
};

const rectangle = (left: number, top: number, right: number, bottom: number): Region | null =>
  right > left && bottom > top
    ? { x: left, y: top, width: right - left, height: bottom - top }
    : null;

const meet = (a: Region, b: Region): boolean =>
  a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;

/** Regions that meet become one, so that every pixel is developed once. */
const merged = (groups: readonly Group[]): Group[] => {
  const done: Group[] = [];
  for (const group of groups) {
    let next = group;
    for (let i = 0; i < done.length; ) {
      if (!meet(next.region, done[i].region)) {
        i++;
        continue;
      }
      next = joined(next, done[i]);
      done.splice(i, 1);
      i = 0;
    }
    done.push(next);
  }
  return done;
};

const joined = (a: Group, b: Group): Group => {
  const left = Math.min(a.region.x, b.region.x);
  const top = Math.min(a.region.y, b.region.y);
  const right = Math.max(a.region.x + a.region.width, b.region.x + b.region.width);
  const bottom = Math.max(a.region.y + a.region.height, b.region.y + b.region.height);
  return {
    region: { x: left, y: top, width: right - left, height: bottom - top },
    members: [...a.members, ...b.members],
  };
};

const paste = (data: Uint8Array, width: number, region: Region, grey: Uint8Array): void => {
  for (let y = 0; y < region.height; y++)
    data.set(
      grey.subarray(y * region.width, (y + 1) * region.width),
      (region.y + y) * width + region.x,
    );
};
