import { adjust } from "../../adjust/adjust.ts";
import type {
  BoardStatement,
  NetworkProblem,
  Propagated,
  Quantity,
  StateView,
} from "../../adjust/problem/problem.ts";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import { type JobFile, jobFileSchema, jobFileVersion } from "../../job/file/job-file.ts";
import { buildBay } from "../../job/problem/build-problem.ts";
import { lensFromOwnPhotos } from "../../job/problem/own-photos.ts";
import type { Remark } from "../../job/result/remark-codes.ts";
import type { CameraKnowledge } from "../../job/run/run.ts";
import { settledAndDiagnosed } from "../../job/solve/settled.ts";
import { norm, type Pose, sub } from "../../maths/pose.ts";
import type { AcceptanceFile } from "../file/acceptance-file.ts";
import { referenceOf } from "../reference/reference.ts";

/** The photos of one round, examined, with what is known of the lens. */
export interface RoundPhotos {
  readonly name: string;
  readonly camera: CameraKnowledge | null;
  readonly outcomes: readonly PhotoOutcome[];
}

/** One round measured: as a job would be, without a car. */
export interface MeasuredRound {
  readonly name: string;
  readonly camera: CameraKnowledge;
  /** Tested lengths in the file's order, mm; null where a board of it is in no photo. */
  readonly lengthsMm: readonly (number | null)[];
  /** Their standard uncertainties as a job would state them, mm. */
  readonly uncertaintiesMm: readonly (number | null)[];
  /** Of two tested lengths, by their places in the file, mm^2; 0 where one is not seen. */
  covariance(i: number, k: number): number;
  /** Variances of photos, lens, focus and hand only: what a second round shows anew, mm^2. */
  readonly ownVariances: readonly (number | null)[];
  /** Of a job's kind: bay from board. */
  readonly poses: ReadonlyMap<string, Pose>;
  /** Per board: bulge, mm, and its size against the mean of its print, each with its variance. */
  readonly shapes: readonly BoardShape[];
  readonly photos: number;
  readonly varianceFactor: number;
  readonly remarks: readonly Remark[];
}

export interface BoardShape {
  readonly board: string;
  readonly bulgeMm: number;
  readonly bulgeVariance: number;
  /** Size over the mean size of the boards of its print, less 1. */
  readonly ownScale: number;
  readonly ownScaleVariance: number;
  /** Boards of that print. */
  readonly ofPrint: number;
}

export type RoundOutcome =
  | { readonly ok: true; readonly round: MeasuredRound }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

/** The acceptance as a job: the same boards, the same scale, no car. Never solved as one. */
export const jobOfAcceptance = (file: AcceptanceFile): JobFile =>
  jobFileSchema.parse({
    format: "plumbshot-job",
    version: jobFileVersion,
    title: file.title,
    invented: file.invented,
    boards: file.boards,
    floor: { unevennessSdMm: file.floorUnevennessMm },
    lengths: file.scale.map((length) => {
      const { lengthMm, uncertaintyMm } = referenceOf(file, length);
      return { from: length.from, to: length.to, lengthMm, sdMm: uncertaintyMm };
    }),
    placement: "none",
  });

const fewestPhotos = 3;

/** Adjusts the photos of one round and reads the tested lengths off. */
export const measureRound = (file: AcceptanceFile, photos: RoundPhotos): RoundOutcome => {
  const camera = photos.camera ?? lensFromOwnPhotos(photos.outcomes);
  if (!camera) return { ok: false, remarks: photos.outcomes.flatMap(remarksOf) };
  const built = buildBay(jobOfAcceptance(file), camera, photos.outcomes);
  if (!built.ok) return built;
  const { bay } = built;
  const first = adjust(bay.problem, { minimumPhotos: fewestPhotos });
  if (!first.ok) return { ok: false, remarks: [...first.remarks, ...bay.remarks] };
  const measured = settledAndDiagnosed(bay.problem, first);
  if (!measured.ok) return { ok: false, remarks: [...measured.remarks, ...bay.remarks] };
  const { adjusted, diagnosis } = measured;
  const has = (id: number): boolean => bay.boards.has(String(id));
  const seen = file.lengths.map(({ from, to }) => has(from) && has(to));
  const lengths = adjusted.propagate(
    file.lengths.flatMap(({ from, to }, i) => (seen[i] ? [lengthBetween(from, to)] : [])),
  );
  const keys = [...bay.boards.keys()];
  let next = 0;
  const places = seen.map((isSeen) => (isSeen ? next++ : -1));
  const each = (value: (at: number) => number): (number | null)[] =>
    places.map((at) => (at < 0 ? null : value(at)));
  return {
    ok: true,
    round: {
      name: photos.name,
      camera,
      lengthsMm: each((at) => lengths.values[at]),
      uncertaintiesMm: each((at) => Math.sqrt(varianceOf(lengths, at))),
      covariance: (i, k) =>
        places[i] < 0 || places[k] < 0
          ? 0
          : lengths.covariance[places[i] * lengths.keys.length + places[k]],
      ownVariances: each((at) => ownVariance(lengths, at)),
      poses: new Map(keys.map((key) => [key, adjusted.state.pose(key)])),
      shapes: shapesOf(bay.problem, (quantities) => adjusted.propagate(quantities)),
      photos: bay.photos.size,
      varianceFactor: adjusted.sigma0Squared,
      remarks: [...diagnosis.remarks, ...measured.remarks, ...camera.remarks, ...bay.remarks],
    },
  };
};

const remarksOf = (outcome: PhotoOutcome): readonly Remark[] =>
  outcome.ok ? outcome.findings.remarks : [outcome.remark];

const lengthBetween = (from: number, to: number): Quantity => ({
  key: `length ${from} to ${to}`,
  evaluate: (state) => norm(sub(state.pose(String(from)).t, state.pose(String(to)).t)),
});

const varianceOf = ({ covariance, keys }: Propagated, at: number): number =>
  covariance[at * keys.length + at];

/** What is drawn anew with every round; print, references, floor and bends stay. */
const ownSources = ["image", "focus and stabilisation", "hand motion"] as const;
const ownVariance = ({ budget }: Propagated, at: number): number =>
  ownSources.reduce((sum, source) => sum + (budget[at][source] ?? 0), 0);

const shapesOf = (
  { boards }: NetworkProblem,
  propagate: (quantities: readonly Quantity[]) => Propagated,
): BoardShape[] => {
  const siblings = (print: string | null) => boards.filter((other) => other.print === print);
  const logSize = (state: StateView, { key, cellMm }: BoardStatement): number =>
    Math.log(state.cellMm(key) / cellMm);
  const propagated = propagate(
    boards.flatMap((board): Quantity[] => {
      const others = siblings(board.print);
      const own = (state: StateView): number =>
        logSize(state, board) -
        others.reduce((sum, other) => sum + logSize(state, other), 0) / others.length;
      return [
        { key: `bulge ${board.key}`, evaluate: (state) => state.bulgeMm(board.key) },
        { key: `own scale ${board.key}`, evaluate: own },
      ];
    }),
  );
  return boards.map(({ key, print }, i) => ({
    board: key,
    bulgeMm: propagated.values[2 * i],
    bulgeVariance: varianceOf(propagated, 2 * i),
    ownScale: propagated.values[2 * i + 1],
    ownScaleVariance: varianceOf(propagated, 2 * i + 1),
    ofPrint: siblings(print).length,
  }));
};
