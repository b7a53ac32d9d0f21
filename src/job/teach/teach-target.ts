import { z } from "zod";
import { type Adjusted, adjust } from "../../adjust/adjust.ts";
import { settleSpreads } from "../../adjust/spreads/settle.ts";
import { diagnose } from "../../adjust/test/diagnosis.ts";
import { pointerTip } from "../../boards/kit.ts";
import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import { targetKinds } from "../../placement/sheet/target-kinds.ts";
import type { TargetBoard } from "../../placement/target/target.ts";
import {
  mostShiftSdMm,
  mostTurnSdDeg,
  type TargetLibrary,
  type TeachProof,
  targetLibraryFormat,
  targetLibrarySchema,
} from "../../placement/target/target-library.ts";
import { type Pointer, pointerSpan, teachTarget } from "../../placement/target/teach.ts";
import {
  boardId,
  boardsSchema,
  type JobFile,
  jobFileSchema,
  lengthSchema,
} from "../file/job-file.ts";
import { type BayProblem, buildBay } from "../problem/build-problem.ts";
import { oneGroup, withoutDuplicates } from "../problem/duplicate-photos.ts";
import { lensFromOwnPhotos } from "../problem/own-photos.ts";
import type { Remark } from "../result/remark-codes.ts";
import type { CameraKnowledge } from "../run/run.ts";

/**
 * teach.json: photos of a target on its stand with three pointer boards held on points of the face
 * teach the tool where the target is against its stand boards. Millimetres.
 */
export const teachFileSchema = z.strictObject({
  format: z.literal("plumbshot-teach"),
  version: z.literal(1),
  name: z.string().min(1).max(80),
  kind: z.enum(targetKinds).default("board"),
  widthMm: z.number().positive().max(5000).optional(),
  heightMm: z.number().positive().max(5000).optional(),
  standBoards: z.array(boardId).min(1),
  pointers: z.strictObject({
    reference: boardId.describe("pointer whose tip is on the target's reference point"),
    right: boardId.describe("tip on the face, to the right seen from the front"),
    above: boardId.describe("tip on the face, above the other two"),
  }),
  touchSdMm: z.number().positive().max(20).default(0.5),
  boards: boardsSchema.prefault({}),
  lengths: z.array(lengthSchema).default([]),
  storedAt: z.string().max(120).optional(),
});
export type TeachFile = z.output<typeof teachFileSchema>;

/** Everything that teaching needs, in one message for a worker. */
export interface TeachInput {
  readonly teach: TeachFile;
  readonly camera: CameraKnowledge | null;
  readonly outcomes: readonly PhotoOutcome[];
  /** ISO 8601. */
  readonly date: string;
}

export type TeachAnswer =
  | { readonly ok: true; readonly library: TargetLibrary; readonly remarks: readonly Remark[] }
  | { readonly ok: false; readonly remarks: readonly Remark[] };

/** Teaches one target from examined photos; `date` is ISO 8601. */
export const teachFromPhotos = (
  teach: TeachFile,
  camera: CameraKnowledge | null,
  outcomes: readonly PhotoOutcome[],
  date: string,
): TeachAnswer => {
  const job = jobOf(teach);
  const known = camera ?? lensFromOwnPhotos(outcomes);
  if (!known) return refuse(nothingSeen);
  const single = withoutDuplicates(outcomes, () => oneGroup);
  const built = buildBay(job, known, single.kept);
  if (!built.ok) return { ok: false, remarks: [...single.remarks, ...built.remarks] };
  const bay = { ...built.bay, remarks: [...single.remarks, ...built.bay.remarks] };
  const { reference, right, above } = teach.pointers;
  const wanted = [...teach.standBoards, reference, right, above];
  if (new Set(wanted).size < wanted.length) return refuse(sameBoard);
  const unseen = wanted.filter((id) => !bay.boards.has(String(id)));
  if (unseen.length > 0) return refuse(notSeen(unseen), bay.remarks);
  const outcome = adjust(bay.problem, { minimumPhotos: 3 });
  if (!outcome.ok) return { ok: false, remarks: [...outcome.remarks, ...bay.remarks] };
  const settled = settleSpreads(bay.problem, outcome);
  if (!settled.ok) return { ok: false, remarks: [...settled.remarks, ...bay.remarks] };
  const { adjusted } = settled;
  const { remarks: misfits } = diagnose(adjusted);
  const pointer = (id: number): Pointer => {
    const { width, height } = adjusted.state.cellSides(String(id));
    return { board: String(id), tipMm: [pointerTip[0] * width, pointerTip[1] * height, 0] };
  };
  const points = {
    reference: pointer(reference),
    right: pointer(right),
    above: pointer(above),
  };
  const span = pointerSpan(adjusted.state, points);
  if (Math.min(span.acrossMm, span.upMm) < leastSpanMm) return refuse(tooClose(span), bay.remarks);
  if (span.facing < 0) return refuse(mixedUp, bay.remarks);
  const stand = teach.standBoards.map(String);
  const boards = teachTarget(adjusted, stand, points, teach.touchSdMm);
  const unsure = boards.find(
    ({ shiftSdMm, turnSdDeg }) => !(shiftSdMm <= mostShiftSdMm && turnSdDeg <= mostTurnSdDeg),
  );
  if (unsure) return refuse(tooUnsure(unsure), bay.remarks);
  return {
    ok: true,
    library: targetLibrarySchema.parse({
      format: targetLibraryFormat,
      version: 1,
      targets: [
        {
          name: teach.name,
          kind: teach.kind,
          storedAt: teach.storedAt,
          widthMm: teach.widthMm,
          heightMm: teach.heightMm,
          boards,
          taught: {
            how: "pointer board",
            on: date.slice(0, 10),
            proof: proofOf(bay, adjusted, known.source),
          },
        },
      ],
    }),
    remarks: [...misfits, ...settled.remarks, ...bay.remarks],
  };
};

const proofOf = (
  bay: BayProblem,
  adjusted: Adjusted,
  lens: CameraKnowledge["source"],
): TeachProof => ({
  lens,
  residualPx: adjusted.residualPx,
  redundancy: adjusted.redundancy,
  varianceFactor: adjusted.sigma0Squared,
  photos: [...bay.photos.keys()].map((name) => ({
    name,
    boards: bay.problem.observations
      .filter((seen) => seen.photo === name)
      .map((seen) => Number.parseInt(seen.board, 10)),
    residualPx: adjusted.photoResidualPx.get(name) ?? 0,
  })),
});

/** The taught scene as a job without a car: boards, print and lengths are stated alike. */
const jobOf = ({ name, boards, lengths }: TeachFile): JobFile => ({
  ...jobFileSchema.parse({ format: "plumbshot-job", version: 1, title: name, placement: "none" }),
  boards,
  lengths,
});

const refuse = (reason: Remark, others: readonly Remark[] = []): TeachAnswer => ({
  ok: false,
  remarks: [reason, ...others],
});

const nothingSeen: Remark = {
  code: "nothing-usable",
  severity: "error",
  message: "No photo shows a board.",
  remedy: "Photograph the target with its stand boards and the pointer boards, from four sides.",
};

const sameBoard: Remark = {
  code: "same-board",
  severity: "error",
  message: "Stand boards and pointers must all be different boards.",
  remedy: "Give each its own board.",
};

const notSeen = (ids: readonly number[]): Remark => ({
  code: "teach-board-missing",
  values: { boards: ids },
  severity: "error",
  message: `No photo shows board ${ids.join(", ")}.`,
  remedy: "Take at least three photos that show stand boards and pointers together.",
});

/** Tips nearer to each other than this leave the direction of the face too uncertain, mm. */
const leastSpanMm = 40;

const tooClose = ({ acrossMm, upMm }: { acrossMm: number; upMm: number }): Remark => ({
  code: "teach-points-close",
  severity: "error",
  message:
    `The pointers' tips are too near to each other or to one line: ${acrossMm.toFixed(0)} mm ` +
    `apart sideways, ${upMm.toFixed(0)} mm upwards; at least ${leastSpanMm} mm are needed.`,
  remedy: "Lay them farther apart on the face, near its edges, and take the photos again.",
  values: { across: acrossMm, up: upMm, least: leastSpanMm },
});

const tooUnsure = ({ board, shiftSdMm, turnSdDeg }: TargetBoard): Remark => ({
  code: "teach-too-unsure",
  severity: "error",
  message:
    `Where the target is against board ${board} is known to ${shiftSdMm.toFixed(1)} mm and ` +
    `${turnSdDeg.toFixed(1)} degrees only (standard deviations): too little to place it by.`,
  remedy:
    "Lay the tips farther apart on the face, hold them more exactly, and take more photos from " +
    "different sides.",
  values: { board, shift: shiftSdMm, turn: turnSdDeg },
});

const mixedUp: Remark = {
  code: "teach-points-mixed",
  severity: "error",
  message: "The pointers to the right and above seem to be mixed up, or a tip points elsewhere.",
  remedy: "Check which board is on which point, seen from the front of the target.",
};
