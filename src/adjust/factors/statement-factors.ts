import {
  cross,
  matVec,
  norm,
  scale,
  skew,
  sub,
  transform,
  transpose,
  type Vec3,
} from "../../maths/pose.ts";
import type { Layout } from "../problem/layout.ts";
import type { FloorStatement, LengthStatement } from "../problem/problem.ts";
import type { State } from "../problem/state.ts";
import { chainFactor } from "./chain-factor.ts";
import { type IndexOfBlock, type SmallFactor, smallFactor } from "./factor.ts";
import { priorFactors } from "./prior-factors.ts";

/** All statements except what was seen in photos: priors, lengths, floor, chains. */
export const statementFactors = (layout: Layout, indexOfBlock: IndexOfBlock): SmallFactor[] => [
  ...priorFactors(layout, indexOfBlock),
  ...layout.problem.lengths.map((length) => lengthFactor(layout, indexOfBlock, length)),
  ...layout.problem.floor.map((floor) => floorFactor(layout, indexOfBlock, floor)),
  ...layout.problem.chains
    .filter((chain) => chain.sd.some(Number.isFinite))
    .map((chain) => chainFactor(layout, indexOfBlock, chain)),
  ...(layout.problem.samePrints ?? []).flatMap(({ boards }) =>
    samePrintFactor(layout, indexOfBlock, boards),
  ),
];

/** Two states of one print agree to this share of what prints differ by. */
const samePrintShare = 0.01;

/** The numbers of two boards that are one print: their differences are zero. */
const samePrintFactor = (
  layout: Layout,
  indexOfBlock: IndexOfBlock,
  keys: readonly [string, string],
): SmallFactor[] => {
  const [a, b] = keys.map((key) => layout.boardIndex.get(key)!);
  const { cell, stretch, bend } = layout.boardPlaces[a];
  const { cellSd, stretchSd = 0, bendSd } = layout.problem.boards[a];
  const parts: { place: number; sd: number; read: (s: State, board: number) => number }[] = [];
  if (cell >= 0) parts.push({ place: cell, sd: cellSd, read: (s, i) => s.cellChange[i] });
  if (stretch >= 0) parts.push({ place: stretch, sd: stretchSd, read: (s, i) => s.stretch[i] });
  for (let k = 0; bend >= 0 && k < 3; k++)
    parts.push({ place: bend + k, sd: bendSd, read: (s, i) => s.bend[3 * i + k] });
  const blocks = [layout.boardBlock[a], layout.boardBlock[b]];
  const width = blocks[0].size + blocks[1].size;
  if (parts.length === 0) return [];
  return [
    smallFactor({
      label: `boards ${keys[0]} and ${keys[1]} are one print`,
      source: "other",
      blocks: blocks.map(indexOfBlock),
      width,
      rows: parts.length,
      residuals(state, r, j) {
        parts.forEach(({ place, sd, read }, row) => {
          const weight = 1 / (samePrintShare * sd);
          r[row] = weight * (read(state, a) - read(state, b));
          if (!j) return;
          j[row * width + place] = weight;
          j[row * width + blocks[0].size + place] = -weight;
        });
      },
    }),
  ];
};

/** Distance between two points on boards: (|p2 - p1| - length (1 + s)) / sd. */
const lengthFactor = (
  layout: Layout,
  indexOfBlock: IndexOfBlock,
  length: LengthStatement,
): SmallFactor => {
  const a = layout.boardIndex.get(length.from.board)!;
  const b = layout.boardIndex.get(length.to.board)!;
  const pointA: Vec3 = length.from.pointMm ?? [0, 0, 0];
  const pointB: Vec3 = length.to.pointMm ?? [0, 0, 0];
  const scaleIndex = length.scale == null ? -1 : layout.scalarIndex.get(length.scale)!;
  const scaleBlock = scaleIndex < 0 ? null : layout.scalarBlock[scaleIndex];
  const scaleFree = scaleBlock !== null && layout.scalarFree[scaleIndex][0] === 0;
  const blockA = layout.boardBlock[a];
  const blockB = layout.boardBlock[b];
  const blocks = [blockA, blockB, ...(scaleFree ? [scaleBlock] : [])];
  const width = blocks.reduce((sum, block) => sum + block.size, 0);
  return smallFactor({
    label: `length ${length.key}`,
    source: "length reference",
    blocks: blocks.map(indexOfBlock),
    width,
    rows: 1,
    residuals(state, r, j) {
      const poseA = state.boardPose[a];
      const poseB = state.boardPose[b];
      const along = sub(transform(poseB, pointB), transform(poseA, pointA));
      const distance = norm(along);
      const factor = 1 + (scaleIndex < 0 ? 0 : state.scalars[scaleIndex][0]);
      r[0] = (distance - length.lengthMm * factor) / length.sdMm;
      if (!j) return;
      const direction = scale(along, 1 / (Math.max(distance, 1e-9) * length.sdMm));
      const atBoard = (start: number, R: typeof poseA.R, point: Vec3, sign: number) => {
        const turn = cross(point, matVec(transpose(R), direction));
        for (let k = 0; k < 3; k++) {
          j[start + k] = sign * turn[k];
          j[start + 3 + k] = sign * direction[k];
        }
      };
      atBoard(0, poseA.R, pointA, -1);
      atBoard(blockA.size, poseB.R, pointB, 1);
      if (scaleFree) j[blockA.size + blockB.size] = -length.lengthMm / length.sdMm;
    },
  });
};

/** Board on the floor z = 0: height of its centre, and its tilt about its own x and y axes. */
const floorFactor = (
  layout: Layout,
  indexOfBlock: IndexOfBlock,
  floor: FloorStatement,
): SmallFactor => {
  const board = layout.boardIndex.get(floor.board);
  const i = board ?? layout.frameIndex.get(floor.board)!;
  const block = board === undefined ? layout.frameBlock[i] : layout.boardBlock[i];
  const tilt = Number.isFinite(floor.tiltSd);
  const height = Number.isFinite(floor.heightSdMm);
  const width = block.size;
  return smallFactor({
    label: `board ${floor.board} on the floor`,
    source: "floor",
    blocks: [indexOfBlock(block)],
    width,
    rows: (height ? 1 : 0) + (tilt ? 2 : 0),
    residuals(state, r, j) {
      const { R, t } = board === undefined ? state.framePose[i] : state.boardPose[i];
      let row = 0;
      if (height) {
        r[0] = (t[2] - floor.heightMm) / floor.heightSdMm;
        if (j) j[5] = 1 / floor.heightSdMm;
        row = 1;
      }
      if (!tilt) return;
      // The floor's normal as the board sees it does not change when the bay turns about it.
      const v: Vec3 = [R[6], R[7], R[8]];
      const turned = skew(v);
      for (let axis = 0; axis < 2; axis++, row++) {
        r[row] = v[axis] / floor.tiltSd;
        if (!j) continue;
        for (let k = 0; k < 3; k++) j[row * width + k] = turned[3 * axis + k] / floor.tiltSd;
      }
    },
  });
};
