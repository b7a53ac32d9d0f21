import { z } from "zod";
import { boardId, boardsSchema } from "../../job/file/job-file.ts";

/**
 * acceptance.json: what a shop knows when it puts its own phone, prints and boards to the test.
 * Millimetres, metres where the name says so, degrees Celsius.
 */

export const acceptanceFormat = "plumbshot-acceptance";
export const acceptanceVersion = 1;

const sdMm = z.number().positive().max(100);
const name = z.string().min(1).max(200);

/** With what somebody measured, and how right it is by its own papers. */
const instrumentSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("steel tape"),
    name,
    class: z.enum(["I", "II", "III"]).describe("accuracy class printed on the tape"),
    fromHook: z
      .boolean()
      .default(true)
      .describe("read from the end hook or ring, not from a line of the scale"),
  }),
  z.strictObject({
    kind: z.literal("laser meter"),
    name,
    withinMm: sdMm.default(2).describe("stated accuracy, plus or minus, for about 95 %"),
  }),
  z.strictObject({
    kind: z.literal("calibrated length"),
    name,
    expandedMm: sdMm.describe("expanded uncertainty (k = 2) on its certificate"),
  }),
]);
export type Instrument = z.output<typeof instrumentSchema>;

/** A straight length between two board centres. */
const lengthSchema = z.strictObject({
  from: boardId,
  to: boardId,
  instrument: name,
  readingsMm: z
    .array(z.number().min(50).max(30_000))
    .min(1)
    .max(20)
    .describe("every reading; best made anew each time"),
  readingSdMm: sdMm
    .default(0.5)
    .describe("standard deviation of one reading with its two ends laid on the centres"),
});
export type AcceptanceLength = z.output<typeof lengthSchema>;

/** Largest permitted error of a length L: A + K L, and never more than B (VDI/VDE 2634 Part 1). */
const limitsSchema = z.strictObject({
  fixedMm: z.number().positive().max(50).default(1),
  perMetreMm: z.number().min(0).max(10).default(0.5),
  mostMm: z.number().positive().max(50).optional(),
});

const roundSchema = z.strictObject({
  name: name.describe("photos of one round are taken anew, from the first to the last"),
  photos: name.describe("folder with the photos, or what the app calls the round"),
  camera: name.default("camera").describe("folder with sheet photos or a camera profile"),
  phone: name.default("first phone").describe("which phone, where there are several"),
  person: name.default("first person"),
});

/** The acceptance file, format "plumbshot-acceptance", version 1. */
export const acceptanceFileSchema = z.strictObject({
  format: z.literal(acceptanceFormat),
  version: z.literal(acceptanceVersion),
  title: name,
  invented: z.boolean().default(false),
  shop: z.string().max(200).default(""),
  boards: boardsSchema.prefault({}),
  floorUnevennessMm: sdMm.default(1),
  plates: z.string().max(200).default("").describe("wheel plates in use, by the name of their set"),
  limits: limitsSchema.prefault({}),
  bayTemperatureC: z.number().min(-30).max(60).optional(),
  instruments: z.array(instrumentSchema).min(1),
  scale: z
    .array(lengthSchema)
    .default([])
    .describe("lengths that the measurement is given, as in every job; they are not tested"),
  lengths: z.array(lengthSchema).min(1).describe("lengths that the measurement is tested by"),
  rounds: z.array(roundSchema).min(1).max(20),
  levels: z
    .strictObject({
      passes: z.number().min(0.5).max(0.9999).default(0.95),
      fails: z.number().min(0.0001).max(0.5).default(0.05),
    })
    .prefault({}),
  everyDays: z.int().min(1).max(3660).default(365).describe("the shop's own rule"),
});
export type AcceptanceFile = z.output<typeof acceptanceFileSchema>;
