import { z } from "zod";
import { targetKinds } from "../sheet/target-kinds.ts";

/**
 * The shop's targets, each taught once: where reference point and face are relative to the boards
 * on its stand. One file, format "plumbshot-targets", version 1, millimetres and degrees.
 */
export const targetLibraryFormat = "plumbshot-targets";

const vector = z.tuple([z.number(), z.number(), z.number()]);

/** Largest stated standard uncertainties of a stand board in a target. Beyond them the target's face is unknown. Our own, no source. */
export const mostShiftSdMm = 50;
export const mostTurnSdDeg = 10;

const taughtBoardSchema = z.object({
  board: z
    .string()
    .regex(/^(\d|[1-9]\d|[1-4]\d\d|5[0-7]\d|58[0-6])$/, "the number of a tag, 0 to 586")
    .describe("board key on the stand, for instance 31"),
  centreInTargetMm: vector.describe(
    "centre of the board in the target frame: x right, y up, z out of the face, from the front",
  ),
  turnDeg: z
    .object({
      aboutX: z.number().optional(),
      aboutY: z.number().optional(),
      aboutZ: z.number().optional(),
    })
    .optional(),
  shiftSdMm: z
    .number()
    .positive()
    .max(mostShiftSdMm)
    .describe("how exactly it was taught, per direction"),
  turnSdDeg: z.number().positive().max(mostTurnSdDeg),
});

/** What the teaching rests on: enough to judge it later, and to find the photos again. */
const teachProofSchema = z.object({
  lens: z.enum(["sheet photos", "saved profile", "own photos"]),
  residualPx: z.number(),
  redundancy: z.number(),
  varianceFactor: z.number(),
  photos: z.array(
    z.object({ name: z.string(), boards: z.array(z.number().int()), residualPx: z.number() }),
  ),
});
export type TeachProof = z.infer<typeof teachProofSchema>;

export const libraryTargetSchema = z.object({
  name: z.string().min(1).max(80),
  kind: z.enum(targetKinds),
  invented: z.boolean().optional(),
  /** Where it is kept: "rack 2, upper shelf". */
  storedAt: z.string().max(120).optional(),
  /** A drawing or photo: name of an attached file. */
  drawing: z.string().max(200).optional(),
  widthMm: z.number().positive().optional(),
  heightMm: z.number().positive().optional(),
  referenceInFaceMm: z.tuple([z.number(), z.number()]).optional(),
  boards: z.array(taughtBoardSchema).min(1),
  feet: z.array(z.object({ name: z.string().min(1).max(40), inTargetMm: vector })).optional(),
  taught: z.object({
    how: z.enum(["typed offsets", "pointer board"]),
    by: z.string().max(80).optional(),
    on: z.string().max(40).describe("date, ISO 8601"),
    note: z.string().max(300).optional(),
    proof: teachProofSchema.optional(),
  }),
});
export type LibraryTarget = z.infer<typeof libraryTargetSchema>;

/** The library file, format "plumbshot-targets", version 1. */
export const targetLibrarySchema = z.object({
  format: z.literal(targetLibraryFormat),
  version: z.literal(1),
  targets: z.array(libraryTargetSchema),
});
export type TargetLibrary = z.infer<typeof targetLibrarySchema>;
