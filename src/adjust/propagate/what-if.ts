import { project } from "../../lens/lens.ts";
import {
  compose,
  dot,
  invert,
  norm,
  type Pose,
  scale,
  sub,
  transform,
  type Vec3,
} from "../../maths/pose.ts";
import { imageFactor } from "../factors/image-factor.ts";
import { statementFactors } from "../factors/statement-factors.ts";
import type { Remark } from "../problem/codes.ts";
import { type Block, layOut } from "../problem/layout.ts";
import { motionSize } from "../problem/motion.ts";
import type {
  BoardObservation,
  FloorStatement,
  LengthStatement,
  NetworkProblem,
  Propagated,
  Quantity,
} from "../problem/problem.ts";
import { copyState, priorState, type State } from "../problem/state.ts";
import { findDatum } from "../solve/datum.ts";
import { makeModel } from "../solve/optimise.ts";
import { describeUndetermined } from "../solve/undetermined.ts";
import { propagate } from "./propagate.ts";

/** A photo that has not been taken yet. */
export interface PlannedPhoto {
  readonly key: string;
  readonly camera: string;
  readonly cameraFromBay: Pose;
  /** Boards it is counted on to show; boardsInView() finds them. */
  readonly boards: readonly string[];
}

export interface Plan {
  readonly photos?: readonly PlannedPhoto[];
  readonly lengths?: readonly LengthStatement[];
  readonly floor?: readonly FloorStatement[];
  /** Noise of one feature coordinate in planned photos, px. Default 0.1. */
  readonly sigmaPx?: number;
}

export type WhatIf =
  | { readonly ok: true; readonly propagated: Propagated }
  | { readonly ok: false; readonly remark: Remark };

/** Features that stand for a planned view: a 4 x 4 grid over the printed pattern, in cells. */
const plannedPoints = Float64Array.from(
  [-7, -2.5, 2.5, 7].flatMap((y) => [-7, -2.5, 2.5, 7].flatMap((x) => [x, y])),
);

/**
 * Covariance that the network would have with a plan added: least squares needs no observed values
 * for that, only where things are (JCGM 102; Grafarend & Sanso, Optimization and Design of
 * Geodetic Networks). `state` gives the places: from an adjustment (internals.state), or a design.
 * Cost: one factorisation, no iteration.
 */
export const whatIf = (
  problem: NetworkProblem,
  state: State,
  plan: Plan,
  quantities: readonly Quantity[],
): WhatIf => {
  const planned = plan.photos ?? [];
  const extended: NetworkProblem = {
    ...problem,
    photos: [...problem.photos, ...planned.map(({ key, camera }) => ({ key, camera }))],
    observations: [
      ...problem.observations,
      ...planned.flatMap((p) =>
        p.boards.map((b) => plannedObservation(p.key, b, plan.sigmaPx ?? 0.1)),
      ),
    ],
    lengths: [...problem.lengths, ...(plan.lengths ?? [])],
    floor: [...problem.floor, ...(plan.floor ?? [])],
  };
  const layout = layOut(extended);
  const index = new Map(layout.blocks.map((block, i) => [block, i]));
  const indexOfBlock = (block: Block) => index.get(block)!;
  const views = extended.observations.map((o) => imageFactor(layout, o, indexOfBlock));
  const model = makeModel(layout, views, statementFactors(layout, indexOfBlock));
  const full = extendState(state, planned);
  model.equations.build(full);
  const solved = findDatum(layout, full, model.statements, model.datumOverPhotos);
  const factorisation = model.equations.factor(0, solved.constraints);
  if (!factorisation.ok)
    return { ok: false, remark: describeUndetermined(model, full, factorisation.failedAt) };
  const datum = findDatum(layout, full, model.statements);
  const propagator = {
    layout,
    state: full,
    solve: factorisation.solve,
    datum,
    statements: model.statements,
    innerSolution: !model.datumOverPhotos,
  };
  return { ok: true, propagated: propagate(propagator, quantities) };
};

const plannedObservation = (photo: string, board: string, sigmaPx: number): BoardObservation => ({
  photo,
  board,
  boardPoints: plannedPoints,
  // Never compared with anything: the covariance depends on the places alone.
  pixels: new Float64Array(plannedPoints.length),
  noise: { kind: "isotropic", sigmaPx },
});

const extendState = (state: State, planned: readonly PlannedPhoto[]): State => ({
  ...copyState(state),
  photoPose: [...state.photoPose, ...planned.map((p) => p.cameraFromBay)],
  photoChange: Float64Array.of(...state.photoChange, ...new Float64Array(3 * planned.length)),
  photoMotion: Float64Array.of(
    ...state.photoMotion,
    ...new Float64Array(motionSize * planned.length),
  ),
});

/** State of a network that exists on paper only: poses by key, all else at its prior. */
export const designState = (
  problem: NetworkProblem,
  boards: ReadonlyMap<string, Pose>,
  photos: ReadonlyMap<string, Pose>,
): State => {
  const state = priorState(layOut(problem));
  problem.boards.forEach((b, i) => {
    state.boardPose[i] = boards.get(b.key) ?? state.boardPose[i];
  });
  problem.photos.forEach((p, i) => {
    state.photoPose[i] = photos.get(p.key) ?? state.photoPose[i];
  });
  return state;
};

export interface ViewLimits {
  readonly width: number;
  readonly height: number;
  /** Largest angle between the board's normal and the line of sight, rad. */
  readonly obliquity: number;
  /** Smallest side of a cell in the photo, px. */
  readonly cellPx: number;
}

/** Boards that a camera at a place would see whole, from the front and large enough. */
export const boardsInView = (
  problem: NetworkProblem,
  state: State,
  camera: string,
  cameraFromBay: Pose,
  limits: ViewLimits,
): string[] => {
  const lens = problem.cameras.find((c) => c.key === camera)!.lens;
  const eye = invert(cameraFromBay).t;
  return problem.boards.flatMap((board, i) => {
    const pose = state.boardPose[i];
    const toEye = sub(eye, pose.t);
    const distance = norm(toEye);
    const normal: Vec3 = [pose.R[2], pose.R[5], pose.R[8]];
    if (dot(scale(toEye, 1 / distance), normal) < Math.cos(limits.obliquity)) return [];
    if ((lens.fx * board.cellMm) / distance < limits.cellPx) return [];
    const cameraFromBoard = compose(cameraFromBay, pose);
    const inside = [-7, 7].every((x) =>
      [-7, 7].every((y) => {
        const corner = transform(cameraFromBoard, [x * board.cellMm, y * board.cellMm, 0]);
        const pixel =
          Math.hypot(corner[0], corner[1]) < 1.2 * corner[2] ? project(lens, corner) : null;
        return (
          pixel !== null &&
          pixel[0] > 0 &&
          pixel[1] > 0 &&
          pixel[0] < limits.width &&
          pixel[1] < limits.height
        );
      }),
    );
    return inside ? [board.key] : [];
  });
};
