import { symmetricEigen } from "../../maths/dense.ts";
import { dot, norm, type Pose, sub, unit, type Vec3 } from "../../maths/pose.ts";
import type { AcceptanceFile } from "../file/acceptance-file.ts";
import type { AcceptanceRemark } from "../result/codes.ts";

/** Where the boards lay, in numbers that do not depend on the frame. */
export interface LaidOut {
  /** Extents of the boards' centres along their own main directions, largest first, mm. */
  readonly volumeMm: readonly [number, number, number];
  /** Farthest two boards of the layout, mm: the diagonal of the volume. */
  readonly diagonalMm: number;
  readonly longestMm: number;
  /** Directions of the tested lengths that differ by at least 30 degrees. */
  readonly directions: number;
}

/**
 * VDI/VDE 2634 Part 1 asks for seven lines in many directions with five lengths each, the longest at
 * least two thirds of the volume's diagonal. A shop measures by hand: so many lengths and directions
 * are asked here, common practice without a source; the two thirds are the guideline's.
 */
export const fewestLengths = 5;
export const fewestDirections = 3;
const longestShare = 2 / 3;
const differentCos = Math.cos(Math.PI / 6);
/** A layout that is less high than this share of its length tests the floor only. */
const flatShare = 0.2;

export const laidOut = (file: AcceptanceFile, poses: ReadonlyMap<string, Pose>): LaidOut => {
  const centres = [...poses.values()].map(({ t }) => t);
  const lines = file.lengths.flatMap(({ from, to }) => {
    const [a, b] = [poses.get(String(from)), poses.get(String(to))];
    return a && b ? [sub(b.t, a.t)] : [];
  });
  const directions: Vec3[] = [];
  for (const line of lines) {
    const d = unit(line);
    if (directions.every((other) => Math.abs(dot(other, d)) < differentCos)) directions.push(d);
  }
  return {
    volumeMm: extents(centres),
    diagonalMm: Math.max(0, ...centres.flatMap((a) => centres.map((b) => norm(sub(a, b))))),
    longestMm: Math.max(0, ...lines.map(norm)),
    directions: directions.length,
  };
};

/** Extents along the principal axes of the points. */
const extents = (points: readonly Vec3[]): [number, number, number] => {
  const n = points.length;
  if (n === 0) return [0, 0, 0];
  const mean = [0, 1, 2].map((k) => points.reduce((sum, p) => sum + p[k], 0) / n);
  const moments = new Float64Array(9);
  for (const p of points)
    for (let i = 0; i < 3; i++)
      for (let k = 0; k < 3; k++) moments[3 * i + k] += (p[i] - mean[i]) * (p[k] - mean[k]);
  const { vectors } = symmetricEigen(moments, 3);
  const sizes = [0, 1, 2].map((axis) => {
    const along = points.map((p) => p.reduce((sum, x, i) => sum + x * vectors[3 * i + axis], 0));
    return Math.max(...along) - Math.min(...along);
  });
  const [a, b, c] = sizes.sort((x, y) => y - x);
  return [a, b, c];
};

export const layoutRemarks = (file: AcceptanceFile, layout: LaidOut): AcceptanceRemark[] => {
  const { diagonalMm, longestMm, directions, volumeMm } = layout;
  const remarks: AcceptanceRemark[] = [];
  const lengths = file.lengths.length;
  if (lengths < fewestLengths)
    remarks.push({
      code: "accept-few-lengths",
      values: { lengths, fewest: fewestLengths },
      severity: "warning",
      message: `Only ${lengths} length${lengths === 1 ? " is" : "s are"} tested; a test takes ${fewestLengths} or more.`,
      remedy: "Measure further lengths between boards, short and long ones.",
    });
  if (directions < fewestDirections)
    remarks.push({
      code: "accept-few-directions",
      values: { directions, fewest: fewestDirections },
      severity: "warning",
      message: `The tested lengths run in ${directions} clearly different direction${directions === 1 ? "" : "s"}; a test takes ${fewestDirections}.`,
      remedy: "Measure lengths along, across and at a slant, too.",
    });
  if (longestMm < longestShare * diagonalMm)
    remarks.push({
      code: "accept-short",
      values: { longest: longestMm, diagonal: diagonalMm },
      severity: "warning",
      message:
        `The longest tested length is ${Math.round(longestMm)} mm, less than two thirds of the ` +
        `${Math.round(diagonalMm)} mm from end to end of the boards.`,
      remedy: "Measure a length from one end of the layout to the other.",
    });
  if (volumeMm[2] < flatShare * volumeMm[0])
    remarks.push({
      code: "accept-flat",
      values: { height: volumeMm[2] },
      severity: "info",
      message: `The boards lie nearly in one plane (${Math.round(volumeMm[2])} mm thick): heights are hardly tested.`,
      remedy: "Put boards on stand and wall, too, and measure lengths up to them.",
    });
  return remarks;
};
