import type { PlacementSetup } from "../../placement/checks/checks.ts";
import type { TargetSetup } from "../../placement/target/target.ts";
import type {
  FloorSetup,
  PlateSetup,
  PositionSetup,
  VehicleSetup,
  WheelPlace,
} from "../../vehicle/setup.ts";
import type { JobFile } from "../file/job-file.ts";
import type { BayProblem } from "./build-problem.ts";

/** What the job file says about car, floor and targets, in the terms of vehicle and placement. */
export const placementSetup = (job: JobFile, bay: BayProblem): PlacementSetup => ({
  vehicle: vehicleSetup(job, bay),
  targets: job.targets.map(targetSetup),
});

const vehicleSetup = (job: JobFile, bay: BayProblem): VehicleSetup => ({
  wheels: {
    "front left": wheel(job, job.wheelPlates.frontLeft, "front left"),
    "front right": wheel(job, job.wheelPlates.frontRight, "front right"),
    "rear left": wheel(job, job.wheelPlates.rearLeft, "rear left"),
    "rear right": wheel(job, job.wheelPlates.rearRight, "rear right"),
  },
  positions: positions(job),
  points: job.plumbPoints.map(({ name, board, inBoardMm, sdMm }) => ({
    name,
    board: String(board),
    inBoardMm,
    sdMm,
  })),
  centreline: job.centreline,
  floor: floor(job, bay),
});

const wheel = (job: JobFile, board: number, place: WheelPlace) => ({
  plate: plate(job, board),
  plumbPoint: job.plumbPoints.some((point) => point.name === place) ? place : undefined,
});

const plate = ({ wheelPlates }: JobFile, board: number): PlateSetup => ({
  board: String(board),
  standOffMm: wheelPlates.standOffMm,
  standOffSdMm: wheelPlates.standOffSdMm,
  centringSdMm: wheelPlates.centringSdMm,
  tiltSdDeg: wheelPlates.tiltSdDeg,
});

/** Every further position, seen or not: one that no photo shows is named later. */
const positions = (job: JobFile): PositionSetup[] =>
  job.positions.slice(1).map(({ name, kind }) => ({ key: name, kind }));

const floor = (job: JobFile, bay: BayProblem): FloorSetup => {
  const boards = [...bay.boards]
    .filter(([, board]) => board.role === "floor point")
    .map(([key]) => ({ board: key, heightMm: job.floor.boardThicknessMm }));
  const wheels = job.floor.wheelCentres;
  // Two boards make no plane; heights of the wheel centres do.
  if (boards.length >= 3 || !wheels)
    return { kind: "boards", unevenSdMm: job.floor.unevennessSdMm, boards };
  return {
    kind: "wheels",
    sdMm: wheels.sdMm,
    centreHeightMm: {
      "front left": wheels.frontLeftMm,
      "front right": wheels.frontRightMm,
      "rear left": wheels.rearLeftMm,
      "rear right": wheels.rearRightMm,
    },
  };
};

const targetSetup = (target: JobFile["targets"][number]): TargetSetup => ({
  name: target.name,
  widthMm: target.widthMm,
  heightMm: target.heightMm,
  referenceInFaceMm: target.referenceInFaceMm,
  feet: target.feet,
  boards: target.boards.map(({ board, centreMm, turnDeg, shiftSdMm, turnSdDeg }) => ({
    board: String(board),
    centreInTargetMm: centreMm,
    turnDeg,
    shiftSdMm,
    turnSdDeg,
  })),
});
