import { readoutOf } from "../../adjust/problem/motion.ts";
import type {
  BoardObservation,
  BoardStatement,
  CameraStatement,
  FloorStatement,
  LengthStatement,
  MotionSpread,
  NetworkProblem,
  PhotoStatement,
} from "../../adjust/problem/problem.ts";
import { withNoise } from "../../adjust/spreads/field-noise.ts";
import { usualMotion } from "../../adjust/spreads/motion-spread.ts";
import { boardWords } from "../../boards/kit.ts";
import type { BoardView, PhotoFindings, PhotoOutcome } from "../../detect/findings/findings.ts";
import { withFocusDoubt } from "../../lens/focus-doubt.ts";
import { otherProgramRemarks } from "../../lens/other-program.ts";
import { modesAt, restOver, withoutRemainder } from "../../lens/remainder.ts";
import { cameraOfPhoto } from "../../lens/which-camera.ts";
import { radians } from "../../maths/pose.ts";
import { boardAt } from "../../vehicle/setup.ts";
import { type JobBoard, jobBoard, wheelBoardIds } from "../file/job-boards.ts";
import type { JobFile } from "../file/job-file.ts";
import { phoneOf } from "../file/job-phones.ts";
import type { Remark } from "../result/remark-codes.ts";
import { type CameraKnowledge, camerasOf } from "../run/run.ts";
import { softenReflections, weakStandPhotos } from "./bay-remarks.ts";
import type { PhotoGroup } from "./duplicate-photos.ts";
import { canBeFlatPrint } from "./flat-print.ts";
import { withPlainPhysics } from "./plain-physics.ts";
import { otherPrints, printOf, statePrints } from "./print-sets.ts";

/** The part of the adjustment that the photos and the boards give; car and target are added later. */
export interface BayProblem {
  readonly problem: NetworkProblem;
  /** Photos in use, by name. */
  readonly photos: ReadonlyMap<string, PhotoFindings>;
  /** Boards in use, by key. */
  readonly boards: ReadonlyMap<string, JobBoard>;
  /** Lenses in use, by the key of their camera statement; copies of another size have a key of their own. */
  readonly cameras: ReadonlyMap<string, CameraKnowledge>;
  /** Names of the car positions that hold photos, the first one first. */
  readonly positions: readonly string[];
  readonly remarks: readonly Remark[];
}

export type BayOutcome =
  | { readonly ok: true; readonly bay: BayProblem }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

/** Camera of the photos that have the profile's own size; `at`: place among the job's lenses. */
export const profileCameraKeyOf = (at: number): string =>
  at === 0 ? "camera" : `camera ${at + 1}`;
/** The same of the job's first lens. */
export const profileCameraKey = profileCameraKeyOf(0);

/** True for the camera of photos that are copies of another size than the profile's. */
export const isOfAnotherSize = (key: string): boolean => key.includes(" at ");

/** Bulge s over a board's width w as curvature: 8 s / w^2, 1/mm. */
const curvature = (bulgeMm: number, widthMm: number): number => (8 * bulgeMm) / widthMm ** 2;
const cellsAcross = 14;

/**
 * Turns what was found and what the job states into the adjustment's input. Photos that cannot be
 * used are named in the remarks; the rest goes on.
 */
export const buildBay = (
  job: JobFile,
  camera: CameraKnowledge,
  outcomes: readonly PhotoOutcome[],
): BayOutcome => {
  const remarks: Remark[] = [];
  const prints = statePrints(job, remarks);
  if (!prints) return { ok: false, remarks };

  const cameras = new Map<string, CameraStatement>();
  const known = new Map<string, CameraKnowledge>();
  const photos: PhotoStatement[] = [];
  const used = new Map<string, PhotoFindings>();
  const boards = new Map<string, JobBoard>();
  const observations: BoardObservation[] = [];
  const positions = new Set<string>();

  for (const outcome of outcomes) {
    if (!outcome.ok) {
      remarks.push(outcome.remark);
      continue;
    }
    const { findings } = outcome;
    remarks.push(...findings.remarks);
    const views = usableViews(job, findings, remarks);
    if (views.length === 0) continue;
    const own = stateCamera(job, camera, findings, cameras, remarks);
    if (own === null) continue;
    known.set(own.key, own.camera);
    const position = positionOf(job, findings.name);
    positions.add(position);
    photos.push({ key: findings.name, camera: own.key, readout: readoutOf(findings) });
    used.set(findings.name, findings);
    for (const view of views) {
      const board = jobBoard(job, view.id)!;
      const key = boardKey(job, board, position, findings.name);
      boards.set(key, board);
      observations.push(observationOf(own.camera, findings, view, key));
    }
  }
  softenReflections(remarks, boards);
  remarks.push(...weakStandPhotos(job, used), ...otherProgramRemarks([...used.values()]));
  if (photos.length === 0)
    remarks.push({
      code: "nothing-usable",
      severity: "error",
      message: "None of these photos can be used: see the remark on each photo.",
      remedy: "Take the photos again with the boards of the kit in view.",
    });
  if (remarks.some((remark) => remark.code === "nothing-usable")) return { ok: false, remarks };

  const problem: NetworkProblem = {
    cameras: [...cameras.values()],
    photos,
    boards: [...boards].map(([key, board]) => stateBoard(job, key, board)),
    prints: [
      ...prints.filter(({ key }) =>
        [...boards.values()].some((board) => printOf(job, board) === key),
      ),
      ...otherPrints(job, [...boards.values()], remarks),
    ],
    observations,
    lengths: stateLengths(job, boards, remarks),
    floor: stateFloor(job, boards),
    frames: [],
    scalars: [],
    chains: [],
  };
  return {
    ok: true,
    bay: {
      problem: camera.plainPhysics ? withPlainPhysics(problem) : problem,
      photos: used,
      boards,
      cameras: known,
      positions: orderPositions(job, positions),
      remarks,
    },
  };
};

/** What was seen, with what the Brown lens leaves taken off, and the rest of that in its noise. */
const observationOf = (
  { profile: { remainder, identity, lens }, focalRatio }: CameraKnowledge,
  findings: PhotoFindings,
  { boardPoints, pixels, noise }: BoardView,
  board: string,
): BoardObservation => {
  const seen = { photo: findings.name, board, boardPoints, pixels, noise };
  if (!remainder) return seen;
  const photo = { width: findings.width, height: findings.height, focalRatio };
  const corrected = withoutRemainder(remainder, identity, photo, pixels);
  const fieldPx = restOver(remainder, identity, photo, pixels);
  const modes = modesAt(remainder, lens, identity, photo, pixels);
  return withNoise({ ...seen, pixels: corrected, modes }, { scale: 1, fieldPx });
};

const usableViews = (
  job: JobFile,
  findings: PhotoFindings,
  remarks: Remark[],
): readonly BoardView[] =>
  findings.boards.filter((view) => {
    if (view.quality.grade === "not used") return false;
    const board = jobBoard(job, view.id);
    if (board?.ignored) return false;
    if (board && canBeFlatPrint(view)) return true;
    remarks.push((board ? misread : unknown)(findings.name, view.id));
    return false;
  });

const unknown = (photo: string, board: number): Remark => ({
  code: "unknown-board",
  values: { photo, board },
  severity: "warning",
  message: `${photo}: ${boardWords(board)} is in the photo but not in this job.`,
  remedy: "Take it out of the bay, or state its role in the job.",
  about: photo,
});

const misread = (photo: string, board: number): Remark => ({
  code: "board-misread",
  values: { photo, board },
  severity: "warning",
  message: `${photo}: what was taken for ${boardWords(board)} cannot be the picture of a flat print; it was left out.`,
  remedy:
    "Look at the photo there: glare, a cover, a crumpled page? Take another one if this board is needed.",
  about: photo,
});

/** This photo's lens and the key of its camera statement; null (with a remark) where it is refused. */
const stateCamera = (
  job: JobFile,
  first: CameraKnowledge,
  findings: PhotoFindings,
  cameras: Map<string, CameraStatement>,
  remarks: Remark[],
): { readonly key: string; readonly camera: CameraKnowledge } | null => {
  const all = camerasOf(first);
  const own = cameraOfPhoto(all, findings, phoneOf(job, findings.name));
  if (!own.ok) {
    remarks.push(own.remark);
    return null;
  }
  const { camera, match } = own;
  remarks.push(...match.remarks);
  const { width, height } = findings;
  const profileKey = profileCameraKeyOf(all.indexOf(camera));
  const key = match.kind === "same" ? profileKey : `${profileKey} at ${width} x ${height}`;
  if (!cameras.has(key)) {
    const estimated = camera.profile.estimated;
    cameras.set(key, {
      key,
      lens: match.lens,
      priorCovariance: withFocusDoubt(match.lens, match.covariance),
      free: [
        estimated.fx,
        estimated.fy,
        estimated.cx,
        estimated.cy,
        estimated.k1,
        estimated.k2,
        estimated.p1,
        estimated.p2,
        estimated.k3,
      ],
      focalSd: match.focalSd,
      shiftSdPx: match.shiftSdPx,
      motion: handOf(camera),
      ...(all.length > 1 && { hand: profileKey }),
      modes: camera.profile.remainder?.modes?.length ?? 0,
    });
  }
  return { key, camera };
};

/** What is known of the hand beforehand: from the sheet photos, where they told. */
const handOf = ({ profile: { spread } }: CameraKnowledge): MotionSpread => ({
  ...usualMotion,
  ...(spread.turnSdDeg && { turnSd: radians(spread.turnSdDeg) }),
  ...(spread.swaySdDeg && { swaySd: radians(spread.swaySdDeg) }),
});

const positionOf = (job: JobFile, photo: string): string => {
  const named = job.positions.find((position) => position.photos.includes(photo));
  return named?.name ?? job.positions[0]?.name ?? "";
};

/** Where the job counts a photo. */
export const groupOf = (job: JobFile, photo: string): PhotoGroup => ({
  position: Math.max(
    0,
    job.positions.findIndex(({ photos }) => photos.includes(photo)),
  ),
  setup: 1 + job.standMoves.findIndex(({ photos }) => photos.includes(photo)),
  after: job.after?.photos.includes(photo) ?? false,
});

const orderPositions = (job: JobFile, present: ReadonlySet<string>): string[] => {
  const stated = job.positions.map((position) => position.name);
  return stated.length === 0 ? [...present] : stated.filter((name) => present.has(name));
};

/**
 * Wheel plates move with the car and stand boards with the stand; everything else stays where it
 * is. What is checked carries the plain id: wheels in the first position, the stand in its last
 * set-up, which is the one that photos after the run show.
 */
const boardKey = (job: JobFile, board: JobBoard, position: string, photo: string): string => {
  const id = String(board.id);
  const first = job.positions[0]?.name ?? "";
  if (wheelBoardIds(job).includes(board.id)) return position === first ? id : boardAt(id, position);
  if (board.role !== "stand" || job.standMoves.length === 0) return id;
  if (job.after?.photos.includes(photo)) return id;
  const setup = job.standMoves.findIndex((move) => move.photos.includes(photo));
  return setup === job.standMoves.length - 1 ? id : boardAt(id, `set-up ${setup + 2}`);
};

const stateBoard = (job: JobFile, key: string, board: JobBoard): BoardStatement => ({
  key,
  cellMm: board.designedCellMm,
  cellSd: job.boards.ownScaleSd,
  print: printOf(job, board),
  bendSd: curvature(job.boards.flatnessMm, cellsAcross * board.designedCellMm),
});

const stateLengths = (
  job: JobFile,
  boards: ReadonlyMap<string, JobBoard>,
  remarks: Remark[],
): LengthStatement[] =>
  job.lengths.flatMap(({ from, to, lengthMm, sdMm }) => {
    const missing = [from, to].filter((id) => !boards.has(String(id)));
    const key = `length ${from} to ${to}`;
    if (missing.length === 0)
      return [{ key, from: { board: String(from) }, to: { board: String(to) }, lengthMm, sdMm }];
    remarks.push({
      code: "length-without-board",
      values: { from, to, missing },
      severity: "warning",
      message: `The measured length from board ${from} to board ${to} is not used: ${missing
        .map(boardWords)
        .join(" and ")} is in no photo.`,
      remedy: "Take a photo that shows this board together with others.",
      about: key,
    });
    return [];
  });

const stateFloor = (job: JobFile, boards: ReadonlyMap<string, JobBoard>): FloorStatement[] =>
  [...boards]
    .filter(([, board]) => board.role === "floor point")
    .map(([key]) => ({
      board: key,
      heightMm: job.floor.boardThicknessMm,
      heightSdMm: job.floor.unevennessSdMm,
      tiltSd: radians(job.floor.tiltSdDeg),
    }));
