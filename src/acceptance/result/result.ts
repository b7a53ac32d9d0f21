import { z } from "zod";
import { acceptanceNoteSchema } from "../../job/file/acceptance-note.ts";
import { resultSchema } from "../../job/result/result.ts";

/** What an acceptance test ends in; mm and degrees, standard deviations where the name says so. */

const outcomeSchema = z.enum(["pass", "fail", "not shown"]);
const remarkSchema = resultSchema.shape.remarks.element;

const spreadFields = {
  sd: z.number(),
  lower: z.number().describe("95 % interval of the standard deviation"),
  upper: z.number(),
  degreesOfFreedom: z.number(),
};

const lengthErrorSchema = z.object({
  round: z.string(),
  measuredMm: z.number(),
  errorMm: z.number().describe("measured less reference"),
  statedExpandedMm: z.number().describe("what a job would state for this length, k = 2"),
  probability: z.number().describe("that the true error lies within the limit (JCGM 106)"),
  verdict: outcomeSchema,
});

const testedLengthSchema = z.object({
  from: z.number().int(),
  to: z.number().int(),
  instrument: z.string(),
  referenceMm: z.number(),
  referenceExpandedMm: z.number().describe("k = 2"),
  limitMm: z.number(),
  errors: z.array(lengthErrorSchema),
});

/** The result of an acceptance test, format "plumbshot-acceptance-result", version 1. */
export const acceptanceResultSchema = z.object({
  format: z.literal("plumbshot-acceptance-result"),
  version: z.literal(1),
  title: z.string(),
  invented: z.boolean(),
  shop: z.string(),
  testedAt: z.string().describe("ISO 8601"),
  program: z.string(),
  outcome: outcomeSchema,
  limits: z.object({
    fixedMm: z.number(),
    perMetreMm: z.number(),
    mostMm: z.number().optional(),
  }),
  rounds: z.array(
    z.object({
      name: z.string(),
      phone: z.string(),
      person: z.string(),
      make: z.string(),
      model: z.string(),
      system: z.array(z.string()).describe("EXIF Software of its photos"),
      photos: z.number().int(),
      varianceFactor: z.number(),
      largestErrorMm: z.number().nullable(),
    }),
  ),
  lengths: z.array(testedLengthSchema),
  layout: z.object({
    volumeMm: z.array(z.number()).length(3).describe("extents along its main directions"),
    diagonalMm: z.number(),
    longestMm: z.number(),
    directions: z.number().int(),
  }),
  repeatability: z
    .object({
      ...spreadFields,
      statedMm: z.number().describe("standard deviation that a job states for the same"),
      pose: z.object({
        positionMm: z.number(),
        turnDeg: z.number(),
        largestPositionMm: z.number(),
        largestTurnDeg: z.number(),
      }),
    })
    .nullable(),
  reproducibility: z
    .object({ ...spreadFields, betweenMm: z.number(), groups: z.number().int() })
    .nullable(),
  instruments: z.array(
    z.object({
      name: z.string(),
      kind: z.string(),
      lengths: z.number().int(),
      zeroMm: z.number(),
      zeroUncertaintyMm: z.number(),
      perMetreMm: z.number(),
      perMetreUncertaintyMm: z.number(),
    }),
  ),
  defaults: z.array(
    z.object({
      ...spreadFields,
      name: z.enum(["flatnessMm", "ownScaleSd", "reading"]),
      instrument: z.string().optional(),
      usual: z.number(),
      enough: z.boolean(),
    }),
  ),
  heldBack: z.array(remarkSchema).describe("why it is not a pass besides the errors themselves"),
  remarks: z.array(remarkSchema),
  note: acceptanceNoteSchema.describe("what jobs carry of this test"),
});
export type AcceptanceResult = z.infer<typeof acceptanceResultSchema>;
