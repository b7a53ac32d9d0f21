import { z } from "zod";
import { targetKinds } from "./target-kinds.ts";

/**
 * The placement sheet: what the user copied out of the vehicle maker's procedure. One file, format
 * "plumbshot-placement", version 1, millimetres and degrees.
 *
 * Signs, in words: distances are positive ahead of the origin, lateral offsets positive to the
 * vehicle's left, heights positive above the floor. Yaw is positive counter-clockwise seen from
 * above. For a target that faces the car from ahead, pitch is positive where the face looks up and
 * roll is positive where the end on the vehicle's left is high. (ISO 8855: X forward, Y left, Z up.)
 *
 * A field that this version does not know is refused: a misspelt one would leave a default in force.
 *
 * Tolerances are the lower and the upper limit deviation from the required value, both signed:
 * -5 and 5 for "plus or minus 5"; null where that side is open.
 */

export const placementFormat = "plumbshot-placement";
export const placementVersion = 1;

const name = z.string().min(1).max(80);

/** A point that a check can start from or end at. */
const pointRefSchema = z.discriminatedUnion("kind", [
  z.strictObject({
    kind: z.literal("target").describe("the target's reference point"),
    target: name.optional().describe("name of another step's target; default this step's"),
  }),
  z.strictObject({
    kind: z.literal("target corner").describe("corner of the face, seen from the front"),
    corner: z.enum(["upper left", "upper right", "lower left", "lower right"]),
    target: name.optional(),
  }),
  z.strictObject({
    kind: z.literal("target point").describe("any point of the target, in its own frame"),
    inTargetMm: z.tuple([z.number(), z.number(), z.number()]),
    target: name.optional(),
  }),
  z.strictObject({
    kind: z.literal("wheel centre"),
    wheel: z.enum(["front left", "front right", "rear left", "rear right"]),
  }),
  z.strictObject({ kind: z.literal("axle midpoint"), axle: z.enum(["front", "rear"]) }),
  z.strictObject({ kind: z.literal("dropped point"), name }),
  z.strictObject({ kind: z.literal("floor board"), board: z.string().min(1) }),
]);
export type PointRef = z.infer<typeof pointRefSchema>;

const pair = z.tuple([pointRefSchema, pointRefSchema]);
const axle = z.enum(["front", "rear"]);

/** What every check says. */
const common = {
  id: z
    .string()
    .regex(/^[a-z0-9][a-z0-9-]*$/, "use lower-case letters, digits and hyphens")
    .describe("unique within its step"),
  label: z.string().max(120).optional().describe("own words; default from the kind"),
  required: z
    .number()
    .describe("required value, a length or an angle by kind; files hold mm and degrees"),
  lowerDeviation: z
    .number()
    .nullable()
    .describe("lowest allowed minus required; empty (null) where open"),
  upperDeviation: z
    .number()
    .nullable()
    .describe("highest allowed minus required; empty (null) where open"),
  reference: z.string().max(300).describe("where the number came from: document, page, date"),
};

const of = pointRefSchema.optional().describe("the point; default the target's reference point");

export const checkSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("distance"), ...common, of }),
  z.strictObject({ kind: z.literal("lateral offset"), ...common, of }),
  z.strictObject({
    kind: z.literal("height"),
    ...common,
    of,
    above: z
      .enum(["floor under the target", "floor under the car"])
      .optional()
      .describe("default: the sheet's height reference"),
  }),
  z.strictObject({ kind: z.literal("yaw"), ...common }),
  z.strictObject({ kind: z.literal("pitch"), ...common }),
  z.strictObject({ kind: z.literal("roll"), ...common }),
  z.strictObject({
    kind: z.literal("straight distance"),
    ...common,
    from: pointRefSchema,
    to: pointRefSchema,
  }),
  z.strictObject({
    kind: z.literal("range").describe("horizontal distance"),
    ...common,
    from: pointRefSchema,
    to: pointRefSchema,
  }),
  z.strictObject({
    kind: z
      .literal("bearing")
      .describe("horizontal angle from straight ahead along the axis, positive to the left"),
    ...common,
    from: pointRefSchema,
    to: pointRefSchema,
  }),
  z.strictObject({
    kind: z.literal("equal diagonals").describe("first diagonal minus second"),
    ...common,
    first: pair,
    second: pair,
  }),
  z.strictObject({
    kind: z.literal("parallel").describe("angle of the target's upper edge to an axle, in plan"),
    ...common,
    axle,
  }),
  z.strictObject({
    kind: z.literal("mat corner along").describe("corner of a mat ahead of the origin"),
    ...common,
    corner: z.enum(["upper left", "upper right", "lower left", "lower right"]),
  }),
  z.strictObject({
    kind: z.literal("mat corner across").describe("corner of a mat left of the axis"),
    ...common,
    corner: z.enum(["upper left", "upper right", "lower left", "lower right"]),
  }),
  z.strictObject({
    kind: z.literal("floor flatness").describe("largest minus smallest rise of the floor boards"),
    ...common,
    boards: z.array(z.string().min(1)).min(3).optional().describe("default: all floor boards"),
  }),
  z.strictObject({
    kind: z
      .literal("floor slope")
      .describe("rise of the floor from the car to the target, per length, degrees"),
    ...common,
  }),
  z.strictObject({
    kind: z.literal("free space").describe("horizontal gap to the nearest marked obstacle"),
    ...common,
    from: pointRefSchema,
    obstacles: z.array(pointRefSchema).min(1),
  }),
]);
export type Check = z.infer<typeof checkSchema>;
export type CheckKind = Check["kind"];

const targetRequestSchema = z.strictObject({
  name: name.describe("as in the target library or the job"),
  kind: z.enum(targetKinds),
  facing: z
    .enum(["rearward", "forward", "left", "right", "up"])
    .describe("where the printed or reflecting face looks in the vehicle frame when all is right"),
  widthMm: z.number().positive().optional(),
  heightMm: z.number().positive().optional(),
});
export type TargetRequest = z.infer<typeof targetRequestSchema>;

const tiltStepSchema = z.strictObject({
  label: name,
  pitch: z.number().describe("required pitch of the reflector plate, degrees"),
  lowerDeviation: z.number(),
  upperDeviation: z.number(),
  reference: z.string().max(300),
});

const stepSchema = z.strictObject({
  id: common.id,
  title: name,
  target: targetRequestSchema,
  checks: z.array(checkSchema).min(1),
  tiltSteps: z.array(tiltStepSchema).min(1).optional(),
  note: z.string().max(600).optional(),
});
export type Step = z.infer<typeof stepSchema>;

const originSchema = z.discriminatedUnion("kind", [
  z.strictObject({ kind: z.literal("front-axle line") }),
  z.strictObject({ kind: z.literal("rear-axle line") }),
  z.strictObject({
    kind: z.literal("dropped point"),
    name,
    lateralFrom: z
      .enum(["axis", "point"])
      .default("axis")
      .describe("lateral offsets count from the axis or from the point itself"),
  }),
]);

export const placementSheetSchema = z.strictObject({
  format: z.literal(placementFormat),
  version: z.literal(placementVersion),
  title: z.string().min(1).max(120),
  vehicle: z.string().max(120).optional(),
  invented: z.boolean().describe("true for examples: never use their numbers on a car"),
  source: z.string().max(300).describe("which procedure, which revision, when it was read"),
  origin: originSchema,
  axis: z.enum(["geometric centreline", "thrust line"]),
  heightReference: z.enum(["floor under the target", "floor under the car"]),
  /** Ask for a second car position before the thrust line counts. */
  secondPosition: z.boolean().optional(),
  steps: z.array(stepSchema).min(1),
});
export type PlacementSheet = z.infer<typeof placementSheetSchema>;

/** One step per tilt of a reflector plate; each carries the step's checks and its own pitch. */
export const expandTiltSteps = (step: Step): Step[] =>
  step.tiltSteps === undefined
    ? [step]
    : step.tiltSteps.map((tilt, index) => ({
        ...step,
        id: `${step.id}-tilt-${index + 1}`,
        title: `${step.title}: ${tilt.label}`,
        tiltSteps: undefined,
        checks: [
          ...step.checks.filter((check) => check.kind !== "pitch"),
          {
            kind: "pitch" as const,
            id: "pitch",
            required: tilt.pitch,
            lowerDeviation: tilt.lowerDeviation,
            upperDeviation: tilt.upperDeviation,
            reference: tilt.reference,
          },
        ],
      }));

export type CheckUnit = "mm" | "deg";
const degreeKinds: ReadonlySet<CheckKind> = new Set([
  "yaw",
  "pitch",
  "roll",
  "bearing",
  "parallel",
  "floor slope",
]);
/** Unit of a check's numbers. */
export const unitOf = (kind: CheckKind): CheckUnit => (degreeKinds.has(kind) ? "deg" : "mm");

/** Allowed range; null where open. */
export const limitsOf = (
  check: Pick<Check, "required" | "lowerDeviation" | "upperDeviation">,
): { lower: number | null; upper: number | null } => ({
  lower: check.lowerDeviation === null ? null : check.required + check.lowerDeviation,
  upper: check.upperDeviation === null ? null : check.required + check.upperDeviation,
});
