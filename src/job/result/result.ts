import { z } from "zod";
import type { Said, SaidValue } from "../../say/remark.ts";

/**
 * The one document that a measurement ends in: what `measure --json` prints, what the app shows
 * and what the record keeps. Millimetres and degrees. Vehicle frame: ISO 8855, origin on the floor
 * below the front-axle midpoint, X forward along the geometric centreline, Y left, Z up.
 */

const matrix3 = z.array(z.number()).length(9).describe("3 x 3 rotation, row-major");
const vector3 = z.array(z.number()).length(3);

const saidValueSchema: z.ZodType<SaidValue> = z.union([
  z.string(),
  z.number(),
  z.array(z.string()),
  z.array(z.number()),
  z.array(z.lazy((): z.ZodType<Said> => saidSchema)),
]);

/** A sentence as data, beside its English text. Lengths mm, angles degrees, shares of 1. */
export const saidSchema = z.object({
  code: z.string(),
  values: z.record(z.string(), saidValueSchema).optional(),
});

const remarkSchema = z.object({
  code: z.string(),
  severity: z.enum(["info", "warning", "error"]),
  message: z.string(),
  remedy: z.string(),
  about: z.string().optional(),
  values: saidSchema.shape.values.describe("numbers and names in the sentences"),
  cost: z
    .object({
      check: z.string(),
      label: z.string(),
      said: saidSchema.optional(),
      amount: z.number(),
      unit: z.enum(["mm", "deg"]),
      share: z.number().describe("amount over the check's expanded uncertainty"),
    })
    .optional()
    .describe("the check that it moves most, and by how much"),
});

const verdictSchema = z.enum(["meets", "misses", "not proven"]);
export type Verdict = z.infer<typeof verdictSchema>;

export const poseSchema = z.object({
  rotation: matrix3.describe("vehicle frame from the frame of the board or camera"),
  positionMm: vector3,
  covariance: z
    .array(z.number())
    .length(36)
    .describe("6 x 6 row-major: turns about own axes in degrees, then shifts in mm"),
});

export const checkResultSchema = z.object({
  id: z.string(),
  /** What is checked, in words: "Distance ahead of the front axle". */
  label: z.string(),
  labelSaid: saidSchema.optional().describe("absent where the sheet has its own words"),
  quantity: z.string().describe("kind of check, as in the placement sheet"),
  unit: z.enum(["mm", "deg"]),
  required: z.number(),
  lower: z.number().nullable().describe("lowest allowed value; null = that side is open"),
  upper: z.number().nullable().describe("highest allowed value; null = that side is open"),
  measured: z.number(),
  standardUncertainty: z.number(),
  expandedUncertainty: z.number().describe("k = coverageFactor, about 95 %"),
  coverageFactor: z.number(),
  probability: z.number().describe("conformance probability (JCGM 106)"),
  verdict: verdictSchema,
  byNumber: verdictSchema
    .optional()
    .describe("what the number alone would say, where a doubt holds the verdict back"),
  /** In words: "23.1 mm too far left", or where it lies inside the tolerance. */
  inWords: z.string(),
  /** Where the required value came from: the user's own reference. */
  reference: z.string(),
  /** Shares of the variance by source, adding up to 1, largest first. */
  budget: z.array(z.object({ source: z.string(), share: z.number() })),
  lenses: z
    .array(z.object({ phone: z.string(), share: z.number() }))
    .optional()
    .describe('what each phone\'s lens adds to the share of "lens", where there are several'),
  /** Chance of being wrong if accepted (consumer) or rejected (producer), JCGM 106. */
  risk: z.object({ consumer: z.number(), producer: z.number() }).optional(),
  /** Only when not proven: what dominates and what would prove it. */
  advice: z.string().optional(),
  adviceSaid: z.array(saidSchema).optional(),
});
export type CheckResult = z.infer<typeof checkResultSchema>;

export const moveSchema = z.object({
  order: z.number().int(),
  kind: z.enum(["turn", "slide", "raise", "level"]),
  /** Sentence for a person: "Turn the stand 0.7 degrees counter-clockwise seen from above." */
  text: z.string(),
  amount: z.number(),
  unit: z.enum(["mm", "deg"]),
  /** Large print for reading from two metres away: "23 mm right". */
  short: z.string(),
  way: z.string().optional().describe("direction without the amount, as in `short`"),
  feet: z
    .array(
      z.object({
        name: z.string(),
        parts: z.array(z.object({ amountMm: z.number(), way: z.string() })),
        placeMm: z
          .tuple([z.number(), z.number()])
          .readonly()
          .optional()
          .describe("before this move, from the target's reference point: ahead, left"),
      }),
    )
    .readonly()
    .optional()
    .describe("where each foot, or end of the target, goes in this move from where it is then"),
});
export type Move = z.infer<typeof moveSchema>;

export const vehicleLineSchema = z.object({
  name: z.string(),
  label: z.string(),
  value: z.number(),
  unit: z.enum(["mm", "deg"]),
  expandedUncertainty: z.number(),
  inWords: z.string(),
});

const boardResultSchema = z.object({
  id: z.number().int(),
  key: z.string(),
  role: z.string(),
  pose: poseSchema,
  seenIn: z.array(z.string()),
  residualPx: z.number(),
  cellMm: z.number(),
});

const photoResultSchema = z.object({
  name: z.string(),
  used: z.boolean(),
  width: z.number(),
  height: z.number(),
  phone: z.string().optional().describe("whose lens it was solved with, where there are several"),
  /** Absent where the photo could not be placed. */
  pose: poseSchema.optional(),
  focalChange: z.number().optional().describe("relative change of the focal length"),
  principalShiftPx: z.array(z.number()).length(2).optional(),
  handTurnDeg: z
    .number()
    .optional()
    .describe("turn of the hand while the photo was read, from the first row to the last, degrees"),
  residualPx: z.number().optional(),
  boards: z.array(
    z.object({
      id: z.number().int(),
      grade: z.enum(["good", "weak", "not used"]),
      reasons: z.array(z.string()),
      cellPx: z.number(),
      obliquityDeg: z.number(),
      blurPx: z.number(),
      residualPx: z.number(),
      outline: z.array(z.number()).length(8),
    }),
  ),
  remarks: z.array(remarkSchema),
});

const cameraResultSchema = z.object({
  source: z.enum(["sheet photos", "saved profile", "own photos"]),
  make: z.string(),
  model: z.string(),
  width: z.number(),
  height: z.number(),
  lens: z.record(z.string(), z.number()).describe("fx fy cx cy k1 k2 p1 p2 k3, OpenCV convention"),
  standardUncertainty: z.record(z.string(), z.number()),
  residualPx: z.number(),
  photos: z.number().int(),
  phone: z.string().optional().describe("its name among several phones"),
  bayPhotos: z.number().int().optional().describe("photos of the bay that were solved with it"),
});

/** Everything that the plan and side views need, vehicle frame, mm. */
export const drawingSchema = z.object({
  wheels: z.array(
    z.object({ id: z.number().int(), label: z.string(), centreMm: vector3, axisMm: vector3 }),
  ),
  frontAxleMm: vector3,
  rearAxleMm: vector3,
  thrustDirection: vector3
    .nullable()
    .describe("horizontal unit vector; null where no two rear plates give it"),
  requiredTarget: z.object({ positionMm: vector3, rotation: matrix3 }).nullable(),
  measuredTarget: z.object({ positionMm: vector3, rotation: matrix3 }).nullable(),
  /** 2 x 2 covariance of the target's reference point in plan (x, y), mm^2. */
  targetPlanCovariance: z.array(z.number()).length(4).nullable(),
  targetSizeMm: z.array(z.number()).length(2).nullable(),
});

/** The result document, format "plumbshot-result", version 1. */
export const resultSchema = z.object({
  format: z.literal("plumbshot-result"),
  version: z.literal(1),
  title: z.string(),
  invented: z.boolean(),
  measuredAt: z.string().describe("ISO 8601"),
  program: z.string(),
  outcome: z.enum(["all meet", "some miss", "not proven"]),
  heldBack: z
    .array(remarkSchema)
    .default([])
    .describe(
      "doubts that no interval carries; with any of them nothing is proven, neither meets nor misses",
    ),
  checks: z.array(checkResultSchema),
  moves: z.array(moveSchema),
  vehicle: z.array(vehicleLineSchema),
  boards: z.array(boardResultSchema),
  photos: z.array(photoResultSchema),
  camera: cameraResultSchema.describe("the first phone's lens"),
  otherCameras: z
    .array(cameraResultSchema)
    .optional()
    .describe("lenses of the other phones that took photos"),
  drawing: drawingSchema,
  crossChecks: z
    .array(
      z.object({
        check: z.string(),
        by: z.string(),
        value: z.number(),
        expanded: z.number(),
        en: z.number().describe("En number (ISO/IEC 17043); at most 1 in size where they agree"),
        agree: z.boolean(),
        sentence: z.string(),
        said: saidSchema.optional(),
      }),
    )
    .optional(),
  stability: z
    .object({
      verdict: z.enum(["nothing moved", "moved", "not proven"]),
      sentence: z.string(),
      said: saidSchema.optional(),
      boards: z.array(
        z.object({
          key: z.string(),
          moved: z.boolean(),
          shiftMm: z.number(),
          expandedMm: z.number(),
        }),
      ),
    })
    .optional()
    .describe("comparison with the photos after the run, where there are any"),
  network: z.object({
    photos: z.number().int(),
    boards: z.number().int(),
    observations: z.number().int(),
    unknowns: z.number().int(),
    redundancy: z.number(),
    varianceFactor: z.number().describe("sigma0 squared, about 1 when the statements fit"),
    residualPx: z.number(),
    iterations: z.number().int(),
  }),
  remarks: z.array(remarkSchema),
  timesMs: z.record(z.string(), z.number()),
});
export type Result = z.infer<typeof resultSchema>;
