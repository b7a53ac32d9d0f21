import { z } from "zod";
import { placementSheetSchema } from "../../placement/sheet/sheet.ts";
import { mostTurnSdDeg } from "../../placement/target/target-library.ts";
import { jobAcceptanceSchema } from "./acceptance-note.ts";

/**
 * job.json: what the technician knows besides the photos. Millimetres and degrees. Every field has
 * a realistic default for a job done by hand with the printed kit, except what only the user
 * can know (target, placement).
 */

export const boardId = z.int().min(0).max(586);
const sdMm = z.number().positive().max(100);

const printReadingSchema = z.strictObject({
  nominalMm: z.number().min(50).max(400).describe("length of the bar as designed"),
  readingMm: z.number().positive().describe("what the ruler says"),
});

const printCheckSchema = z
  .strictObject({
    horizontal: printReadingSchema,
    vertical: printReadingSchema,
    readingSdMm: sdMm.default(0.15),
  })
  .optional()
  .describe("ruler readings on the two check bars; without it the print counts as unchecked");

/** Boards that came from another printer, paper or day: their size is their own. */
const printSetSchema = z.strictObject({
  name: z.string().min(1).describe("how the set is called, such as the printer or the day"),
  ids: z.array(boardId).min(1).describe("boards of this set; no board belongs to two sets"),
  printCheck: printCheckSchema,
});

/** A board has one size: it belongs to one set, and sets are told apart by their names. */
const refuseSharedBoards = (
  sets: readonly z.output<typeof printSetSchema>[],
  context: z.RefinementCtx,
): void => {
  const seen = new Set<number>();
  const names = new Set<string>();
  sets.forEach(({ name, ids }, i) => {
    for (const id of ids) {
      if (seen.has(id))
        context.addIssue({
          code: "custom",
          path: [i, "ids"],
          message: `board ${id} is in two sets of prints`,
        });
      seen.add(id);
    }
    if (names.has(name))
      context.addIssue({
        code: "custom",
        path: [i, "name"],
        message: `two sets of prints have the name "${name}"`,
      });
    names.add(name);
  });
};

export const boardsSchema = z.strictObject({
  cellMm: z.number().min(5).max(60).default(13).describe("cell side as designed"),
  printCheck: printCheckSchema,
  setName: z.string().min(1).optional().describe("how the first set of prints is called"),
  sets: z
    .array(printSetSchema)
    .superRefine(refuseSharedBoards)
    .optional()
    .describe(
      "further sets of prints; all boards in none of them are the first set, checked above",
    ),
  /** Boards of one printer differ little from each other. */
  ownScaleSd: z.number().min(0).max(0.01).default(0.0001),
  flatnessMm: z
    .number()
    .min(0)
    .max(10)
    .default(0.2)
    .describe("standard deviation of the bulge over a board's width"),
  exceptions: z
    .array(
      z.strictObject({
        id: boardId,
        role: z.enum(["wheel plate", "floor point", "stand", "pointer", "length bar"]).optional(),
        cellMm: z.number().min(5).max(60).optional(),
        ignore: z.boolean().optional(),
      }),
    )
    .default([]),
});

export const lengthSchema = z.strictObject({
  from: boardId,
  to: boardId,
  lengthMm: z.number().min(50).max(30_000),
  sdMm,
  note: z.string().optional(),
});

const wheelPlatesSchema = z.strictObject({
  name: z
    .string()
    .min(1)
    .max(200)
    .optional()
    .describe("how the shop calls this set of plates; an acceptance test holds for one"),
  frontLeft: boardId.default(1),
  frontRight: boardId.default(2),
  rearLeft: boardId.default(3),
  rearRight: boardId.default(4),
  standOffMm: z
    .number()
    .min(0)
    .max(500)
    .default(60)
    .describe("board face out from the wheel plane"),
  standOffSdMm: sdMm.default(1),
  centringSdMm: sdMm.default(1),
  tiltSdDeg: z.number().positive().max(5).default(0.2),
});

const wheelHeightMm = z.number().min(100).max(800);

const floorSchema = z.strictObject({
  boardThicknessMm: z.number().min(0).max(100).default(3),
  unevennessSdMm: sdMm.default(1),
  tiltSdDeg: z.number().positive().max(10).default(0.5),
  /** Without floor boards: heights of the wheel centres above the floor, by rule. */
  wheelCentres: z
    .strictObject({
      frontLeftMm: wheelHeightMm,
      frontRightMm: wheelHeightMm,
      rearLeftMm: wheelHeightMm,
      rearRightMm: wheelHeightMm,
      sdMm: sdMm.default(3),
    })
    .optional(),
});

const turnDeg = z.number().min(-180).max(180).default(0);
const offsetMm = z.number().min(-5000).max(5000);

/** Where one stand board is in the target's frame, as the shop taught it once. */
const targetBoardSchema = z.strictObject({
  board: boardId,
  /** Board centre in the target frame: x right and y up seen from the front, z out of the face. */
  centreMm: z.tuple([offsetMm, offsetMm, offsetMm]),
  /** Turns of the board against the target, applied as Rx Ry Rz. */
  turnDeg: z.strictObject({ aboutX: turnDeg, aboutY: turnDeg, aboutZ: turnDeg }).prefault({}),
  shiftSdMm: sdMm.default(0.5),
  turnSdDeg: z.number().positive().max(mostTurnSdDeg).default(0.05),
});

const targetSchema = z.strictObject({
  name: z.string().min(1),
  widthMm: z.number().positive().max(5000).optional(),
  heightMm: z.number().positive().max(5000).optional(),
  /** Reference point in the face, from its centre to the right and up. */
  referenceInFaceMm: z.tuple([offsetMm, offsetMm]).optional(),
  boards: z.array(targetBoardSchema).min(1, "say where the target is against a stand board"),
  /** Feet of the stand in the target frame, for the moves. */
  feet: z
    .array(
      z.strictObject({ name: z.string(), inTargetMm: z.tuple([offsetMm, offsetMm, offsetMm]) }),
    )
    .default([]),
});

const plumbPointSchema = z.strictObject({
  name: z.string().min(1).describe("as the placement sheet calls it, or a wheel's place"),
  board: boardId,
  inBoardMm: z.tuple([offsetMm, offsetMm, offsetMm]).optional(),
  sdMm: sdMm.default(1.5),
});

export const jobFileVersion = 1;

/** The job file, format "plumbshot-job", version 1. A field that it does not know is refused. */
export const jobFileSchema = z.strictObject({
  format: z.literal("plumbshot-job"),
  version: z.literal(jobFileVersion),
  title: z.string().min(1),
  invented: z.boolean().default(false),
  note: z.string().optional(),
  boards: boardsSchema.prefault({}),
  lengths: z.array(lengthSchema).default([]),
  wheelPlates: wheelPlatesSchema.prefault({}),
  floor: floorSchema.prefault({}),
  targets: z.array(targetSchema).default([]),
  plumbPoints: z.array(plumbPointSchema).default([]),
  /** A centreline through two plumb points instead of the axle midpoints, rear to front. */
  centreline: z.strictObject({ front: z.string().min(1), rear: z.string().min(1) }).optional(),
  /** The placement sheet itself, or the name of its file beside job.json. */
  placement: z.union([z.string(), placementSheetSchema]),
  step: z.string().optional().describe("id of the sheet's step; the first one by default"),
  levels: z
    .strictObject({
      meets: z.number().min(0.5).max(0.9999).default(0.95),
      misses: z.number().min(0.0001).max(0.5).default(0.05),
      guardBandFactor: z
        .number()
        .min(0)
        .max(4)
        .optional()
        .describe("decide by guard bands of this many standard uncertainties (ISO 14253-1)"),
    })
    .prefault({}),
  /** Set-ups of the stand after the first, in order: the last one is checked, the car stays. */
  standMoves: z
    .array(z.strictObject({ name: z.string().min(1), photos: z.array(z.string()).min(1) }))
    .default([]),
  /** Readings of a check by other means, with their own expanded uncertainty (95 %). */
  readings: z
    .array(
      z.strictObject({
        check: z.string().min(1).describe("id of the check in the placement sheet's step"),
        value: z.number(),
        expanded: z.number().positive(),
        by: z.string().min(1).describe("tape, laser, another system"),
      }),
    )
    .default([]),
  acceptance: jobAcceptanceSchema
    .optional()
    .describe("the shop's rule on acceptance tests and what the last one said"),
  /** Whose photos are whose, where several phones with a lens each took them. */
  phones: z
    .array(
      z.strictObject({
        name: z
          .string()
          .min(1)
          .describe("the phone: its folder or profile in camera/, without the ending"),
        photos: z.array(z.string()).min(1),
      }),
    )
    .default([])
    .describe("photos that are not named here are told apart by their EXIF data"),
  /** Photos taken after the calibration run, to prove that nothing moved. */
  after: z.strictObject({ photos: z.array(z.string()).min(1) }).optional(),
  /** Photos by car position, where the car was rolled or the wheels turned between them. */
  positions: z
    .array(
      z.strictObject({
        name: z.string().min(1),
        kind: z
          .enum(["rolled", "turned", "refitted"])
          .default("rolled")
          .describe("car rolled on, wheels turned, or the same plates fitted a second time"),
        photos: z.array(z.string()).min(1),
      }),
    )
    .default([]),
});

export type JobFile = z.output<typeof jobFileSchema>;
