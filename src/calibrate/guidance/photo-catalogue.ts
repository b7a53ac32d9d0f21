import { sheetMarkers, sheetOutline, sheetSquareMm } from "../../boards/sheet.ts";
import { type Lens, project } from "../../lens/lens.ts";
import {
  expRotation,
  type Mat3,
  matMul,
  type Pose,
  transform,
  type Vec3,
} from "../../maths/pose.ts";
import type { FrameCorner } from "./coverage.ts";

/** Where in the picture the sheet's centre is. */
export type FramePlace = "middle" | FrameCorner;
/** The edge of the sheet, as it lies in the picture, that is nearest to the phone. */
export type NearEdge = "left" | "top" | "right" | "bottom";

/** A photo of the sheet that could be taken. */
export interface ImaginedPhoto {
  readonly place: FramePlace;
  readonly nearEdge: NearEdge;
  /** True where the sheet lies on its side in the picture. */
  readonly turned: boolean;
  readonly tiltDeg: number;
}

/** Towards which corner the sheet is pushed. */
const pushes: Record<FramePlace, readonly [number, number]> = {
  middle: [0, 0],
  "top left": [-1, -1],
  "top right": [1, -1],
  "bottom right": [1, 1],
  "bottom left": [-1, 1],
};

/** Direction in the picture towards which the sheet's far side lies, degrees from x to y. */
export const farDirectionDeg: Record<NearEdge, number> = {
  left: 0,
  top: 90,
  right: 180,
  bottom: 270,
};

export const places = Object.keys(pushes) as readonly FramePlace[];
export const nearEdges = Object.keys(farDirectionDeg) as readonly NearEdge[];

/** Slant asked for: enough for the focal length, little enough to keep the far side sharp. */
export const slantDeg = 35;

export const photoCatalogue: readonly ImaginedPhoto[] = places.flatMap((place) =>
  nearEdges.flatMap((nearEdge) =>
    [false, true].map((turned) => ({ place, nearEdge, turned, tiltDeg: slantDeg })),
  ),
);

/** The first photo of all: the whole sheet, face on. */
export const faceOnPhoto: ImaginedPhoto = {
  place: "middle",
  nearEdge: "bottom",
  turned: false,
  tiltDeg: 0,
};

const radian = Math.PI / 180;
const faceOn: Mat3 = [1, 0, 0, 0, -1, 0, 0, 0, -1];

/** Sheet length over the picture's longer side, in the middle and in a corner. */
const lengthShare = { middle: 0.57, corner: 0.48 };
/** Room left between a sheet in a corner and the picture's edge, as a share of each side. */
const edgeShare = 0.02;

/** Camera from sheet of an imagined photo: whole in the picture, in a corner close to its edges. */
export const imaginedPose = (
  photo: ImaginedPhoto,
  lens: Lens,
  width: number,
  height: number,
): Pose => {
  const share = photo.place === "middle" ? lengthShare.middle : lengthShare.corner;
  const distance = (lens.fx * sheetSquareMm * 10) / (share * Math.max(width, height));
  const across = (farDirectionDeg[photo.nearEdge] - 90) * radian;
  const angle = photo.tiltDeg * radian;
  const turn = expRotation([Math.cos(across) * angle, Math.sin(across) * angle, 0]);
  const roll = expRotation([0, 0, photo.turned ? Math.PI / 2 : 0]);
  const R = matMul(turn, matMul(roll, faceOn));
  return { R, t: pushedTo(photo.place, R, distance, lens, width, height) };
};

/** Position at which the outline stands off the picture's edges by the room left. */
const pushedTo = (
  place: FramePlace,
  R: Mat3,
  distance: number,
  { fx, fy }: Lens,
  width: number,
  height: number,
): Vec3 => {
  const [pushX, pushY] = pushes[place];
  if (pushX === 0) return [0, 0, distance];
  const t: [number, number, number] = [0, 0, distance];
  // Undistorted, about the picture's centre; a few steps because the slant makes depth uneven.
  for (let step = 0; step < 4; step++) {
    const corners = outlineMm.map((corner) => transform({ R, t }, corner));
    const gapX =
      width * (0.5 - edgeShare) - Math.max(...corners.map((c) => (pushX * fx * c[0]) / c[2]));
    const gapY =
      height * (0.5 - edgeShare) - Math.max(...corners.map((c) => (pushY * fy * c[1]) / c[2]));
    t[0] += (pushX * gapX * distance) / fx;
    t[1] += (pushY * gapY * distance) / fy;
  }
  return t;
};

const outlineMm: readonly Vec3[] = [0, 2, 4, 6].map((i) => [
  sheetOutline[i] * sheetSquareMm,
  sheetOutline[i + 1] * sheetSquareMm,
  0,
]);

/** The sheet's markers, mm, that an imagined photo would show inside the frame. */
export const pointsInFrame = (
  cameraFromSheet: Pose,
  lens: Lens,
  width: number,
  height: number,
): number[] =>
  sheetMarkers.flatMap(({ x, y }) => {
    const [X, Y] = [x * sheetSquareMm, y * sheetSquareMm];
    const pixel = project(lens, transform(cameraFromSheet, [X, Y, 0]));
    const inside =
      pixel !== null &&
      pixel[0] > 10 &&
      pixel[1] > 10 &&
      pixel[0] < width - 11 &&
      pixel[1] < height - 11;
    return inside ? [X, Y] : [];
  });

/** Outline of the sheet in an imagined photo, px: x0 y0 .. x3 y3; empty where it cannot be drawn. */
export const imaginedOutline = (
  photo: ImaginedPhoto,
  lens: Lens,
  width: number,
  height: number,
): number[] => {
  const pose = imaginedPose(photo, lens, width, height);
  const outline = outlineMm.flatMap((corner) => project(lens, transform(pose, corner)) ?? []);
  return outline.length === 8 ? outline : [];
};

/**
 * Side of the sheet nearest to the phone, 0 = top, then clockwise as printed; null where the photo
 * is face on. A sheet on its side is turned a quarter clockwise, so that its left edge is on top.
 */
export const nearSide = ({ nearEdge, turned, tiltDeg }: ImaginedPhoto): number | null => {
  if (tiltDeg === 0) return null;
  const clockwise: readonly NearEdge[] = ["top", "right", "bottom", "left"];
  return (clockwise.indexOf(nearEdge) + (turned ? 3 : 0)) % 4;
};
