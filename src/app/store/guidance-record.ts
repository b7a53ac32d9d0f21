import { z } from "zod";
import { adviceCodes } from "../../calibrate/guidance/advice.ts";
import type { Guidance } from "../../calibrate/guidance/guidance.ts";
import { nearEdges, places } from "../../calibrate/guidance/photo-catalogue.ts";

/** Advice on sheet photos, for the photos whose digest it carries. */
export interface StoredGuidance {
  readonly inputs: string;
  readonly guidance: Guidance;
}

const photo = z.object({
  place: z.enum(places),
  nearEdge: z.enum(nearEdges),
  turned: z.boolean(),
  tiltDeg: z.number(),
});
const corners = z.array(z.enum(["top left", "top right", "bottom left", "bottom right"]));
const remark = z.looseObject({
  code: z.string(),
  severity: z.enum(["info", "warning", "error"]),
  message: z.string(),
  remedy: z.string(),
});

const storedGuidanceSchema = z.object({
  inputs: z.string(),
  guidance: z.object({
    enough: z.boolean(),
    advice: z.object({ code: z.enum(adviceCodes), photo: photo.nullable(), corners }),
    text: z.string(),
    expectedMm: z.number().nullable(),
    afterNextMm: z.number().nullable(),
    counted: z.number().int(),
    atLeast: z.number().int(),
    missingCorners: corners,
    next: photo.nullable(),
    frame: z.object({
      width: z.number().positive(),
      height: z.number().positive(),
      turns: z.number().int().min(0).max(3),
      outline: z.array(z.number()),
      nearSide: z.number().int().min(0).max(3).nullable(),
    }),
    remarks: z.array(remark),
  }),
});

/** A stored record, or null where there is none or an earlier program wrote another shape. */
export function readGuidance(raw: unknown): StoredGuidance | null {
  const parsed = storedGuidanceSchema.safeParse(raw);
  return parsed.success ? (parsed.data as StoredGuidance) : null;
}
