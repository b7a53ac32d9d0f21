import { z } from "zod";

/**
 * What a job carries of the shop's last acceptance test: when, with what, how it ended, and the shop's
 * own standard deviations that it gave. Millimetres.
 */

const text = z.string().max(200);
const spread = z.number().positive().max(100);

export const acceptanceNoteSchema = z.strictObject({
  testedAt: z.string().describe("ISO 8601"),
  outcome: z.enum(["pass", "fail", "not shown"]),
  largestErrorMm: z.number().nullable(),
  limits: z.strictObject({
    fixedMm: z.number().positive(),
    perMetreMm: z.number().min(0),
    mostMm: z.number().positive().optional(),
  }),
  phones: z
    .array(z.strictObject({ make: text, model: text, system: z.array(text).max(20) }))
    .max(20)
    .describe("EXIF Make, Model and Software of the photos"),
  prints: z.strictObject({
    cellMm: z.number().positive(),
    horizontalMm: z.number().positive().nullable().describe("reading of the horizontal check bar"),
    verticalMm: z.number().positive().nullable(),
  }),
  plates: text.describe("wheel plates in use, by the name of their set"),
  defaults: z
    .strictObject({
      flatnessMm: spread.optional(),
      ownScaleSd: z.number().positive().max(0.01).optional(),
      readings: z
        .array(z.strictObject({ instrument: text, sdMm: spread }))
        .max(20)
        .default([]),
    })
    .describe("the shop's own standard deviations in place of common practice"),
});
export type AcceptanceNote = z.output<typeof acceptanceNoteSchema>;

/** The shop's rule and its last test; a job without this asks for none. */
export const jobAcceptanceSchema = z.strictObject({
  everyDays: z.int().min(1).max(3660).default(365).describe("the shop's own rule"),
  plates: text
    .default("")
    .describe("stands of this job and plates without a name, as the acceptance names them"),
  last: acceptanceNoteSchema.nullable().default(null),
});
export type JobAcceptance = z.output<typeof jobAcceptanceSchema>;
