import { viewOf } from "../adjust/problem/state.ts";
import { compose, invert } from "../maths/pose.ts";
import { checkKey, checkQuantities } from "../placement/checks/checks.ts";
import { sdAsked, sdAskedAt } from "./asked.ts";
import {
  type Aim,
  type Choice,
  type Demand,
  isEnough,
  sightingsOf,
  standAfter,
} from "./choice/choose.ts";
import { weakPlaces } from "./choice/hold.ts";
import { addPhoto, covarianceOf, derivatives, photoInformation } from "./choice/network.ts";
import { type PlanTask, plannedReadout } from "./task.ts";
import { predictedObservation, seeBoard, usualPicture } from "./view/predicted-view.ts";
import { type Candidate, candidatePhotos, placeOf, type StandOptions } from "./view/standpoints.ts";

/** Kneeling, or holding a phone up and still, is asked for where it brings something. */
const strain = 0.15;

/** A candidate as a choice; null where its views say nothing. */
export const choiceOf = (task: PlanTask, candidate: Candidate): Choice | null => {
  const { network, bayFromVehicle, cameraKey } = task;
  const information = photoInformation(network, {
    statement: { key: "planned", camera: cameraKey, readout: plannedReadout(task) },
    cameraFromBay: compose(candidate.cameraFromVehicle, invert(bayFromVehicle)),
    observations: candidate.views.flatMap(({ board, cameraFromBoard, cellMm }) => {
      const seen = seeBoard(task.frame.lens, cameraFromBoard, cellMm);
      return seen ? [predictedObservation("planned", board, seen, usualPicture)] : [];
    }),
  });
  const boards = candidate.views.map(({ board }) => board);
  const effort = candidate.posture === "at the chest" ? 0 : strain;
  return information && { information, boards, from: candidate.from, effort };
};

/** Photos that could be taken, and in the same order what each says. */
export interface Possible {
  readonly candidates: readonly Candidate[];
  readonly choices: readonly Choice[];
}

/** All photos that could be taken, with what each says. */
export const candidatesOf = (task: PlanTask, options: StandOptions): Possible => {
  const candidates: Candidate[] = [];
  const choices: Choice[] = [];
  for (const candidate of candidatePhotos(task.bay, task.frame, options)) {
    const choice = choiceOf(task, candidate);
    if (!choice) continue;
    candidates.push(candidate);
    choices.push(choice);
  }
  return { candidates, choices };
};

/** Photos that were taken, as choices. */
export const takenChoices = (task: PlanTask): Choice[] =>
  task.taken.flatMap((photo) => {
    const information = photoInformation(task.network, photo);
    const { from } = placeOf(compose(photo.cameraFromBay, task.bayFromVehicle));
    const boards = [...new Set(photo.observations.map(({ board }) => board))];
    return information ? [{ information, boards, from: [from[0], from[1], from[2]] }] : [];
  });

/** One photo, or two, would hide every error; see solve.ts. */
const fewestPhotos = 3;
/** What the best possible photos give is reached up to this share. */
const nearBest = 1.04;

/** The aims with what is asked of each, and the best that all photos together would give. */
export const demandOf = (
  task: PlanTask,
  choices: readonly Choice[],
  taken: readonly Choice[],
  times: number,
): { demand: Demand; best: Float64Array | null } => {
  const { network } = task;
  const h = network.known.slice();
  for (const { information } of [...choices, ...taken]) addPhoto(network, h, information);
  const best = covarianceOf(network, h);
  const aims = aimsOf(task, best);
  const possible = sightingsOf([...choices, ...taken]);
  const boards = [...possible].flatMap(([board, places]) =>
    places.length >= times ? [board] : [],
  );
  const weak = weakPlaces([...choices, ...taken]);
  return { demand: { aims, boards, times, fewest: fewestPhotos, weak }, best };
};

/**
 * Whether the photos taken fulfil the demand as it stands, nothing eased by what photos can give: then
 * no other needs to be thought of.
 */
export const isEnoughTaken = (task: PlanTask, taken: readonly Choice[], times: number): boolean => {
  if (taken.length < fewestPhotos) return false;
  const boards = task.bay.boards.map(({ key }) => key);
  const demand = { aims: aimsOf(task, null), boards, times, fewest: fewestPhotos, weak: 0 };
  return isEnough(demand, standAfter(task.network, demand, taken));
};

/** What is asked of every check, as far as `best`, the covariance with all possible photos, allows it. */
const aimsOf = ({ network, context, rule, basis }: PlanTask, best: Float64Array | null): Aim[] => {
  const quantities = checkQuantities(context);
  const rows = derivatives(network, quantities);
  const view = viewOf(network.layout, network.state);
  return context.step.checks.flatMap((check): Aim[] => {
    const key = checkKey(context.step, check);
    const own = quantities.flatMap((q, i) =>
      q.key === key || q.key.startsWith(`${key}:`) ? [i] : [],
    );
    // Of an extreme (flatness, free space) its parts count, not its own kinked derivative.
    const parts = own.length > 1 ? own.slice(1) : own;
    const asked =
      basis === "measured"
        ? sdAskedAt(check, rule, quantities[own[0]].evaluate(view))
        : sdAsked(check, rule);
    if (!Number.isFinite(asked)) return [];
    return parts.map((i) => {
      const least = best ? sdOf(best, rows[i]) : 0;
      return { key: quantities[i].key, row: rows[i], sd: Math.max(asked, nearBest * least) };
    });
  });
};

const sdOf = (covariance: Float64Array, row: Float64Array): number => {
  const n = row.length;
  const used = [...row.keys()].filter((i) => row[i] !== 0);
  let sum = 0;
  for (const i of used) for (const k of used) sum += row[i] * row[k] * covariance[i * n + k];
  return Math.sqrt(Math.max(0, sum));
};
