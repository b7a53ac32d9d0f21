import { z } from "zod";
import { cholesky } from "../maths/dense.ts";
import type { Remark } from "./codes.ts";
import { type Lens, lensOrder, lensSize } from "./lens.ts";
import { remainderIsSound, remainderSchema } from "./remainder.ts";

/**
 * The camera profile: one phone lens as the camera step measured it, in a file that a job can carry.
 *
 * `covariance` speaks of the lens common to all photos; what changes from photo to photo (autofocus,
 * image stabilisation) is `spread`. A job needs both: the first as the prior of the lens, the second
 * as the prior of every photo's own change.
 */

export const profileFormat = "plumbshot-camera";
export const profileVersion = 1;

const nullableText = z.string().nullable();
const positive = z.number().positive();

const identitySchema = z.object({
  make: nullableText.describe("EXIF Make, null where the photos carried none"),
  model: nullableText.describe("EXIF Model"),
  lensModel: nullableText.describe("EXIF LensModel"),
  focalLengthMm: positive.nullable().describe("EXIF FocalLength, mm"),
  focalLength35mm: positive.nullable().describe("EXIF FocalLengthIn35mmFilm, mm"),
  digitalZoom: positive.describe("EXIF DigitalZoomRatio; 1 = none"),
  width: z.number().int().positive().describe("px, sensor orientation"),
  height: z.number().int().positive().describe("px, sensor orientation"),
});
export type CameraIdentity = z.infer<typeof identitySchema>;

const perLensParameter = <T extends z.ZodType>(value: T) =>
  z.object({
    fx: value,
    fy: value,
    cx: value,
    cy: value,
    k1: value,
    k2: value,
    p1: value,
    p2: value,
    k3: value,
  });

const lensSchema = perLensParameter(z.number()).extend({ fx: positive, fy: positive });

const spreadSchema = z.object({
  focalSd: z.number().min(0).max(0.1).describe("relative standard deviation of the focal length"),
  shiftSdPx: z
    .number()
    .min(0)
    .max(500)
    .describe("standard deviation of each principal point shift"),
  focalFromPhotos: z
    .number()
    .min(0)
    .describe("degrees of freedom that the photos gave; the rest is the general prior"),
  shiftFromPhotos: z.number().min(0),
  turnSdDeg: z
    .number()
    .min(0)
    .max(5)
    .optional()
    .describe(
      "turn of the hand about each axis from the first to the last row of a photo, degrees",
    ),
  swaySdDeg: z
    .number()
    .min(0)
    .max(5)
    .optional()
    .describe("how far that turn's course is bent, from the middle row to either end, degrees"),
});

const coverageSchema = z.object({
  columns: z.number().int().positive(),
  rows: z.number().int().positive(),
  counts: z.array(z.number().int().min(0)).describe("features per cell of the frame, row by row"),
  share: z.number().min(0).max(1).describe("share of the cells that hold features"),
  tiltDeg: z.array(z.number()).describe("tilt of the sheet against the line of sight, per photo"),
});

/** The profile file, format "plumbshot-camera", version 1: px, mm where the name says so. */
export const profileSchema = z.object({
  format: z.literal(profileFormat),
  version: z.literal(profileVersion),
  identity: identitySchema,
  lens: lensSchema.describe("pinhole and Brown lens, OpenCV convention, pixel centres at integers"),
  covariance: z
    .array(z.number())
    .length(lensSize * lensSize)
    .describe(`9 x 9 row-major, order ${lensOrder.join(" ")}`),
  estimated: perLensParameter(z.boolean()).describe("numbers that have an uncertainty"),
  model: z
    .string()
    .describe("distortion numbers that the photos ask for; the others are zero, with uncertainty"),
  spread: spreadSchema.describe("changes from photo to photo"),
  remainder: remainderSchema
    .optional()
    .describe("smooth displacement that these numbers leave, where the photos show one"),
  residualPx: z.number().min(0).describe("root mean square of the residuals per coordinate"),
  heldOutPx: z
    .number()
    .min(0)
    .nullable()
    .describe("the same in photos left out of the estimation, or null where not computed"),
  photos: z.number().int().positive(),
  coverage: coverageSchema,
  effectAt4mMm: z
    .number()
    .min(0)
    .nullable()
    .describe("half-width of the 95 % interval that the lens alone gives to a 4 m distance, mm"),
  calibratedAt: z.string().describe("ISO 8601, as given by the caller"),
  notes: z.array(z.string()),
});
export type CameraProfile = z.infer<typeof profileSchema>;

export type ProfileOutcome =
  | { readonly ok: true; readonly profile: CameraProfile }
  | { readonly ok: false; readonly remark: Remark };

const unreadable = (about: string, message: string): ProfileOutcome => ({
  ok: false,
  remark: {
    code: "profile-unreadable",
    severity: "error",
    message,
    remedy: "Make the profile again from photos of the camera sheet, or choose another file.",
    about,
  },
});

/**
 * True where the covariance is symmetric, and positive definite within the estimated parameters
 * (Cholesky of the correlation matrix), and zero outside them. A tied fx = fy is allowed.
 */
export const covarianceIsSound = (covariance: readonly number[]): boolean => {
  const n = lensSize;
  const sd = Array.from({ length: n }, (_, i) => Math.sqrt(covariance[i * n + i]));
  if (sd.some((value) => !Number.isFinite(value))) return false;
  const used = sd.flatMap((value, i) => (value > 0 ? [i] : []));
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      const scale = sd[i] * sd[j];
      const value = covariance[i * n + j];
      if (scale === 0 ? value !== 0 : Math.abs(value - covariance[j * n + i]) > 1e-9 * scale)
        return false;
    }
  const correlation = Float64Array.from(
    used.flatMap((i) =>
      used.map((j) => covariance[i * n + j] / (sd[i] * sd[j]) + (i === j ? 1e-9 : 0)),
    ),
  );
  return cholesky(correlation, used.length).failedAt < 0;
};

/** The version of a profile that another version of the program wrote; null for this one's. */
const otherVersion = (value: unknown): number | null => {
  const head = z.object({ format: z.literal(profileFormat), version: z.number() }).safeParse(value);
  return head.success && head.data.version !== profileVersion ? head.data.version : null;
};

/** Reads a profile from parsed JSON; says in a sentence what is wrong and in which field. */
export const readProfile = (value: unknown, about: string): ProfileOutcome => {
  const other = otherVersion(value);
  if (other !== null)
    return unreadable(
      about,
      `${about} is a camera profile of version ${other}; this program reads version ${profileVersion}.`,
    );
  const parsed = profileSchema.safeParse(value);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const field = issue.path.join(".") || "the document";
    return unreadable(about, `${about} is not a camera profile: ${field}: ${issue.message}.`);
  }
  if (!covarianceIsSound(parsed.data.covariance))
    return unreadable(
      about,
      `${about}: the covariance of the lens is not a covariance (not symmetric or not positive).`,
    );
  const { covariance, estimated } = parsed.data;
  const odd = lensOrder.find((name, i) => estimated[name] !== covariance[i * (lensSize + 1)] > 0);
  if (odd)
    return unreadable(
      about,
      `${about}: ${odd} is ${estimated[odd] ? "estimated but has no" : "not estimated but has an"} ` +
        "uncertainty in the covariance.",
    );
  if (parsed.data.remainder && !remainderIsSound(parsed.data.remainder))
    return unreadable(
      about,
      `${about}: remainder does not hold as many numbers as its columns and rows say.`,
    );
  const { columns, rows, counts } = parsed.data.coverage;
  if (counts.length !== columns * rows)
    return unreadable(
      about,
      `${about}: coverage.counts does not hold ${columns} x ${rows} numbers.`,
    );
  return { ok: true, profile: parsed.data };
};

/** Standard uncertainty of each lens parameter; 0 where it was not estimated. */
export const lensUncertainty = (covariance: ArrayLike<number>): Record<keyof Lens, number> =>
  Object.fromEntries(
    lensOrder.map((name, i) => [name, Math.sqrt(covariance[i * lensSize + i])]),
  ) as Record<keyof Lens, number>;
