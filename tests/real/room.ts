/**
 * A room with 20 tags on its walls, 72 photos by one phone of 2011 (github swatbotics/apriltag at
 * 427a42c, images/mapping_feb_2014, BSD-style licence). Nobody surveyed it: even photos are held
 * against odd ones, each half with its own lens, over all distances between the tags' centres.
 */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { type Adjusted, adjust } from "../../src/adjust/adjust.ts";
import type { NetworkProblem } from "../../src/adjust/problem/problem.ts";
import { tagOutline } from "../../src/boards/pattern.ts";
import type { FeatureNoise } from "../../src/detect/findings/findings.ts";
import { type Lens, project } from "../../src/lens/lens.ts";
import { invert, transform } from "../../src/maths/pose.ts";
import { decodePhoto } from "../../src/photo/decode.ts";
import type { LumaImage } from "../../src/photo/grey/luma.ts";
import { type Outline, type TagView, tagFinderFor, tagsAt, tagsIn } from "./bare-tags.ts";
import { spread } from "./spread.ts";

/** The authors' lens (calibration/calib.txt of the set) as start; each half estimates its own. */
const startLens: Lens = {
  ...{ fx: 765, fy: 764.18, cx: 393.72, cy: 304.66 },
  ...{ k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 },
};

/**
 * Side of a tag's black border, mm. The set does not say it; with 128 mm the longest distance is the
 * 5.8 m that its description gives. It scales both halves and their difference alike.
 */
const tagSideMm = 128;
const cells = 8;

/** Paper on a wall bends by 0.3 mm over a tag and is 0.1 % off in size. Our assumption. */
const paper = { bendSd: (8 * 0.3) / tagSideMm ** 2, cellSd: 0.001 };

export interface RoomPhotos {
  readonly names: readonly string[];
  readonly images: ReadonlyMap<string, LumaImage>;
}

export function readRoom(folder: string): RoomPhotos {
  const names = readdirSync(folder)
    .filter((name) => /\.jpg$/i.test(name))
    .sort();
  const images = new Map<string, LumaImage>();
  for (const name of names) {
    const decoded = decodePhoto(readFileSync(join(folder, name)), name);
    if (!decoded.ok) throw new Error(`${name}: ${decoded.remark.message}`);
    images.set(name, decoded.luma);
  }
  return { names, images };
}

export async function roomViews(room: RoomPhotos): Promise<TagView[]> {
  const finder = await tagFinderFor(30);
  return room.names.flatMap((name) => tagsIn(name, room.images.get(name)!, finder, null));
}

export interface HalfOptions {
  readonly motion: boolean;
}

export interface Half {
  readonly adjusted: Adjusted;
  readonly problem: NetworkProblem;
  readonly views: readonly TagView[];
}

/**
 * Adjusts some of the photos by themselves: lens from these photos, then the prints fitted again
 * through that lens (tags that the finder missed are tried where the adjustment expects them), and
 * the noise scaled so that the variance factor is one.
 */
export function adjustHalf(
  room: RoomPhotos,
  first: readonly TagView[],
  options: HalfOptions,
): Half {
  const size = room.images.get(first[0].photo)!;
  let views = first;
  let noiseScale = 2;
  let problem = roomProblem(views, size, startLens, noiseScale, options);
  let adjusted = solve(problem, options);
  views = seenAgain(room, views, adjusted);
  for (let pass = 0; pass < 3; pass++) {
    noiseScale *= Math.sqrt(adjusted.sigma0Squared);
    const lens = adjusted.state.lens("camera");
    problem = roomProblem(views, size, lens, noiseScale, options);
    adjusted = solve(problem, options);
  }
  return { adjusted, problem, views };
}

/** Without motion most views misfit: down-weighting single views would wander without end. */
function solve(problem: NetworkProblem, { motion }: HalfOptions): Adjusted {
  const outcome = adjust(problem, { robust: motion });
  if (!outcome.ok) throw new Error(outcome.remarks.map(({ message }) => message).join(" "));
  return outcome;
}

export const board = (id: number): string => `tag ${id}`;

function roomProblem(
  views: readonly TagView[],
  { width, height }: LumaImage,
  lens: Lens,
  noiseScale: number,
  { motion }: HalfOptions,
): NetworkProblem {
  return {
    cameras: [
      {
        key: "camera",
        lens,
        priorCovariance: null,
        free: [true, true, true, true, true, true, true, true, true],
        focalSd: spread.focalSd,
        shiftSdPx: spread.shiftShare * width,
        ...(motion ? { motion: spread.motion } : {}),
      },
    ],
    photos: [...new Set(views.map(({ photo }) => photo))].map((key) => ({
      key,
      camera: "camera",
      readout: { along: "rows", length: height },
    })),
    boards: [...new Set(views.map(({ id }) => id))].map((id) => ({
      key: board(id),
      cellMm: tagSideMm / cells,
      cellSd: paper.cellSd,
      print: null,
      bendSd: paper.bendSd,
    })),
    observations: views.map(({ photo, id, boardPoints, pixels, noise }) => ({
      ...{ photo, board: board(id), boardPoints, pixels, noise: scaled(noise, noiseScale) },
    })),
    ...{ prints: [], lengths: [], floor: [], frames: [], scalars: [], chains: [] },
  };
}

/** Standard deviations times `by`. */
export const scaled = (noise: FeatureNoise, by: number): FeatureNoise =>
  noise.kind === "isotropic"
    ? { ...noise, sigmaPx: noise.sigmaPx * by }
    : { ...noise, sqrtInformation: noise.sqrtInformation.map((w) => w / by) };

/** The prints fitted through the estimated lens, the missed ones included. */
function seenAgain(room: RoomPhotos, views: readonly TagView[], { state }: Adjusted): TagView[] {
  const lens = state.lens("camera");
  const ids = [...new Set(views.map(({ id }) => id))];
  return [...new Set(views.map(({ photo }) => photo))].flatMap((photo) => {
    const image = room.images.get(photo)!;
    const expected = ids.flatMap((id) => expectedOutline(state, photo, id, lens, image) ?? []);
    return tagsAt(photo, image, expected, lens);
  });
}

/** Smallest cell that is tried, px, and what must lie inside the picture, px. */
const smallestCellPx = 2.5;
const edgePx = 3;

/** Where a tag should show; null where it looks away, is too small or leaves the picture. */
function expectedOutline(
  state: Adjusted["state"],
  photo: string,
  id: number,
  lens: Lens,
  { width, height }: LumaImage,
): Outline | null {
  const cameraFromBay = state.photoPose(photo);
  const bayFromTag = state.pose(board(id));
  const eye = transform(invert(bayFromTag), invert(cameraFromBay).t);
  if (!(eye[2] > 0)) return null;
  const corners = new Float64Array(cells);
  for (let k = 0; k < cells; k += 2) {
    const cell = tagSideMm / cells;
    const onTag = [tagOutline[k] * cell, tagOutline[k + 1] * cell, 0] as const;
    const seen = project(lens, transform(cameraFromBay, transform(bayFromTag, onTag)));
    if (!seen || !insidePicture(seen, width, height)) return null;
    corners.set(seen, k);
  }
  return areaOf(corners) > (smallestCellPx * cells) ** 2 / 2 ? { id, corners } : null;
}

const insidePicture = ([x, y]: readonly [number, number], width: number, height: number): boolean =>
  x > edgePx && y > edgePx && x < width - 1 - edgePx && y < height - 1 - edgePx;

const areaOf = (c: Float64Array): number =>
  Math.abs((c[4] - c[0]) * (c[7] - c[3]) - (c[6] - c[2]) * (c[5] - c[1])) / 2;
