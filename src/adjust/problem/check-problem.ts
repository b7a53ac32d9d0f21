import { lensOrder, lensSize } from "../../lens/lens.ts";
import { cholesky } from "../../maths/dense.ts";
import type { Remark } from "./codes.ts";
import type {
  BoardObservation,
  CameraStatement,
  ChainStatement,
  NetworkProblem,
} from "./problem.ts";

/** Everything about a problem that no adjustment can mend, as sentences. Empty: usable. */
export const checkProblem = (problem: NetworkProblem): Remark[] => {
  const remarks: Remark[] = [];
  const bad = (about: string, message: string, remedy = ""): void => {
    remarks.push({ code: "network-input", severity: "error", message, remedy, about });
  };
  checkKeys(problem, bad);
  checkNumbers(problem, bad);
  problem.cameras.forEach((camera) => {
    checkCamera(camera, bad);
  });
  checkReferences(problem, bad);
  const seen = new Set<string>();
  for (const observation of problem.observations) {
    checkObservation(observation, bad);
    const pair = JSON.stringify([observation.photo, observation.board]);
    if (seen.has(pair))
      bad(
        observation.photo,
        `Board ${observation.board} is given twice in photo ${observation.photo}.`,
      );
    seen.add(pair);
  }
  checkLengths(problem, bad);
  if (problem.observations.length === 0)
    bad("photos", "No photo shows any board.", "Take photos that show the boards.");
  return remarks;
};

type Report = (about: string, message: string, remedy?: string) => void;

const checkKeys = (problem: NetworkProblem, bad: Report): void => {
  const unique = (what: string, items: readonly { readonly key: string }[]) => {
    const seen = new Set<string>();
    for (const { key } of items) {
      if (seen.has(key)) bad(key, `The ${what} "${key}" is stated twice.`);
      seen.add(key);
    }
  };
  unique("camera", problem.cameras);
  unique("photo", problem.photos);
  unique("board or frame", [...problem.boards, ...problem.frames]);
  unique("print run", problem.prints);
  unique("scalar", problem.scalars);
};

/** A deviation may be zero (known exactly) only where the contract says so. */
const checkNumbers = (problem: NetworkProblem, bad: Report): void => {
  const sd = (about: string, what: string, value: number, zeroAllowed: boolean) => {
    if (Number.isNaN(value) || value < 0 || (value === 0 && !zeroAllowed))
      bad(
        about,
        `The standard deviation of ${what} is ${value}; it must be ${zeroAllowed ? "zero or more" : "more than zero"}.`,
        "Correct the stated uncertainty.",
      );
  };
  for (const board of problem.boards) {
    if (!(board.cellMm > 0) || !Number.isFinite(board.cellMm))
      bad(
        board.key,
        `The cell size of board ${board.key} is ${board.cellMm} mm; it must be more than zero.`,
      );
    sd(board.key, `the cell size of board ${board.key}`, board.cellSd, true);
    sd(board.key, `the stretch of board ${board.key}`, board.stretchSd ?? 0, true);
    sd(board.key, `the bend of board ${board.key}`, board.bendSd, true);
  }
  for (const print of problem.prints)
    for (const value of [print.scaleSd, print.widthSd ?? 0, print.heightSd ?? 0])
      sd(print.key, `the scale of print ${print.key}`, value, true);
  for (const length of problem.lengths) {
    sd(length.key, `the length ${length.key}`, length.sdMm, false);
    if (!(length.lengthMm > 0) || !Number.isFinite(length.lengthMm))
      bad(
        length.key,
        `The length ${length.key} is ${length.lengthMm} mm; it must be more than zero.`,
      );
  }
  for (const floor of problem.floor) {
    sd(floor.board, `the height of floor board ${floor.board}`, floor.heightSdMm, false);
    sd(floor.board, `the tilt of floor board ${floor.board}`, floor.tiltSd, false);
    if (!Number.isFinite(floor.heightMm))
      bad(floor.board, `The height of floor board ${floor.board} is not a number.`);
  }
  for (const scalar of problem.scalars) {
    if (scalar.mean.length !== scalar.sd.length)
      bad(
        scalar.key,
        `The scalar "${scalar.key}" has ${scalar.mean.length} values but ${scalar.sd.length} deviations.`,
      );
    if (!scalar.mean.every(Number.isFinite))
      bad(scalar.key, `The value of "${scalar.key}" is not a number.`);
    for (const value of scalar.sd) sd(scalar.key, `"${scalar.key}"`, value, true);
  }
  for (const chain of problem.chains)
    for (const value of chain.sd) sd(chain.key, `"${chain.key}"`, value, false);
};

const checkCamera = (camera: CameraStatement, bad: Report): void => {
  const { key, lens, priorCovariance } = camera;
  for (const name of lensOrder)
    if (!Number.isFinite(lens[name]))
      bad(key, `The lens number ${name} of camera ${key} is not a number.`);
  if (!(lens.fx > 0) || !(lens.fy > 0))
    bad(key, `The focal length of camera ${key} must be more than zero.`);
  for (const [what, value] of [
    ["focal-length change", camera.focalSd],
    ["image shift", camera.shiftSdPx],
  ] as const)
    if (!(value >= 0))
      bad(key, `The standard deviation of the ${what} of camera ${key} is ${value}.`);
  if (!priorCovariance) return;
  if (priorCovariance.length !== lensSize ** 2 || !priorCovariance.every(Number.isFinite)) {
    bad(key, `The covariance of camera ${key} must hold ${lensSize ** 2} numbers.`);
    return;
  }
  const used = camera.free.flatMap((free, i) =>
    free && priorCovariance[i * lensSize + i] !== 0 ? [i] : [],
  );
  const part = Float64Array.from(
    used.flatMap((i) => used.map((k) => priorCovariance[i * lensSize + k])),
  );
  if (used.length > 0 && cholesky(part, used.length, 1e-15).failedAt >= 0)
    bad(
      key,
      `The covariance of camera ${key} is not positive definite.`,
      "Run the camera step again.",
    );
};

const checkReferences = (problem: NetworkProblem, bad: Report): void => {
  const boards = new Set(problem.boards.map((b) => b.key));
  const poses = new Set([...boards, ...problem.frames.map((f) => f.key)]);
  const scalars = new Map(problem.scalars.map((s) => [s.key, s]));
  const cameras = new Set(problem.cameras.map((c) => c.key));
  const photos = new Set(problem.photos.map((p) => p.key));
  const prints = new Set(problem.prints.map((p) => p.key));
  for (const photo of problem.photos)
    if (!cameras.has(photo.camera))
      bad(photo.key, `Photo ${photo.key} names an unknown camera "${photo.camera}".`);
  for (const board of problem.boards)
    if (board.print !== null && !prints.has(board.print))
      bad(board.key, `Board ${board.key} names an unknown print "${board.print}".`);
  for (const o of problem.observations) {
    if (!photos.has(o.photo)) bad(o.photo, `An observation names an unknown photo "${o.photo}".`);
    if (!boards.has(o.board))
      bad(o.board, `Photo ${o.photo} shows board ${o.board}, which is not stated.`);
  }
  for (const length of problem.lengths) {
    for (const end of [length.from, length.to])
      if (!boards.has(end.board))
        bad(length.key, `The length ${length.key} names an unknown board "${end.board}".`);
    if (length.scale != null && !scalars.has(length.scale))
      bad(length.key, `The length ${length.key} names an unknown scale "${length.scale}".`);
  }
  for (const floor of problem.floor)
    if (!poses.has(floor.board))
      bad(floor.board, `A floor statement names an unknown board "${floor.board}".`);
  for (const chain of problem.chains) checkChain(chain, poses, scalars, bad);
};

const checkChain = (
  chain: ChainStatement,
  poses: ReadonlySet<string>,
  scalars: ReadonlyMap<string, { readonly mean: readonly number[] }>,
  bad: Report,
): void => {
  for (const link of chain.links) {
    if (link.kind === "fixed") continue;
    const length = scalars.get(link.key)?.mean.length ?? 0;
    const known =
      link.kind === "pose"
        ? poses.has(link.key)
        : link.kind === "turn"
          ? link.index >= 0 && link.index < length
          : length === 6;
    if (!known)
      bad(
        chain.key,
        `The statement "${chain.key}" names "${link.key}", which is not there or does not fit.`,
      );
  }
};

const checkObservation = (o: BoardObservation, bad: Report): void => {
  const where = `board ${o.board} in photo ${o.photo}`;
  const n = o.pixels.length;
  if (n !== o.boardPoints.length || n % 2 !== 0)
    bad(o.photo, `The features of ${where} do not come in pairs.`);
  if (n < 8)
    bad(o.photo, `Only ${n / 2} features of ${where} were given; at least four are needed.`);
  if (!o.pixels.every(Number.isFinite) || !o.boardPoints.every(Number.isFinite))
    bad(o.photo, `A feature of ${where} is not a number.`);
  const { noise } = o;
  if (noise.kind === "isotropic") {
    if (!(noise.sigmaPx > 0) || !Number.isFinite(noise.sigmaPx))
      bad(o.photo, `The noise of ${where} is ${noise.sigmaPx} px; it must be more than zero.`);
    return;
  }
  if (noise.rows < 1 || noise.sqrtInformation.length !== noise.rows * n)
    bad(o.photo, `The noise of ${where} does not fit its features.`);
  else if (!noise.sqrtInformation.every(Number.isFinite))
    bad(o.photo, `The noise of ${where} is not a number.`);
};

/** Two lengths between the same two boards' centres that differ by far more than they may. */
const checkLengths = (problem: NetworkProblem, bad: Report): void => {
  const centred = problem.lengths.filter((l) => !l.from.pointMm && !l.to.pointMm);
  const pair = (l: (typeof centred)[number]) => [l.from.board, l.to.board].sort().join(" ");
  centred.forEach((a, i) => {
    if (a.from.board === a.to.board)
      bad(a.key, `The length ${a.key} runs from board ${a.from.board} to itself.`);
    for (const b of centred.slice(0, i)) {
      if (pair(a) !== pair(b)) continue;
      const apart = Math.abs(a.lengthMm - b.lengthMm);
      if (apart > 6 * Math.hypot(a.sdMm, b.sdMm))
        bad(
          a.key,
          `Two lengths between boards ${a.from.board} and ${a.to.board} contradict each other: ${a.lengthMm} mm and ${b.lengthMm} mm.`,
          "Measure the distance again and keep the right one.",
        );
    }
  });
};
