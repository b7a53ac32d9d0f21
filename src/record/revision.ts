/**
 * A closed revision of a job's record, format "plumbshot-record", version 1: everything that the
 * verdict rests on, as it was when the record was closed. It is an immutable object named by the
 * SHA-256 of its canonical JSON; a later change makes another revision that names this one.
 */
import { z } from "zod";
import { checkResultSchema, moveSchema, resultSchema } from "../job/result/result.ts";
import { profileSchema } from "../lens/profile.ts";
import { sha256Schema } from "./sha256.ts";

export const recordFormat = "plumbshot-record";
export const recordVersion = 1;

const time = z.string().describe("ISO 8601, with the zone's offset or Z");

/** A value in a sentence: numbers and names, as the engine's remarks carry them. */
const codedSchema = z.object({
  code: z.string(),
  values: z.record(z.string(), z.union([z.string(), z.number()])).optional(),
});

/** What was still open when the record was closed, and was confirmed by a person. */
export const openPointSchema = codedSchema;
export type OpenPoint = z.infer<typeof openPointSchema>;

export const recordedCheckSchema = z.object({
  list: z.enum(["car", "bay", "after"]),
  name: z.string(),
  state: z.enum(["open", "done", "does not apply"]),
  note: z.string(),
  photo: z.string().nullable().describe("name of the note photo that shows it"),
});

/** A file by the hash of its bytes; the bytes travel beside the document. */
const fileFields = {
  name: z.string(),
  sha256: sha256Schema,
  bytes: z.number().int().nonnegative(),
  addedAt: time.describe("when it was taken into the job, clock of the device"),
};

export const recordedPhotoSchema = z.object({
  ...fileFields,
  purpose: z.enum(["boards", "sheet", "target", "note"]),
  position: z.number().int().min(1),
  setup: z.number().int().min(1),
  epoch: z.enum(["before", "after"]),
  about: z.string(),
  takenAt: z
    .string()
    .nullable()
    .describe("the camera's own clock (EXIF DateTimeOriginal); null where it wrote none"),
  zone: z
    .string()
    .nullable()
    .describe("offset that the camera wrote (EXIF OffsetTimeOriginal); null where it wrote none"),
  software: z.string().nullable().describe("EXIF Software"),
  orientation: z
    .number()
    .int()
    .min(1)
    .max(8)
    .default(1)
    .describe("EXIF Orientation: how the camera was held; outlines are in the stored pixels"),
});
export type RecordedPhoto = z.infer<typeof recordedPhotoSchema>;

export const attachmentKinds = ["scan before", "scan after", "procedure", "other"] as const;
export const recordedAttachmentSchema = z.object({
  ...fileFields,
  kind: z.enum(attachmentKinds),
  type: z.string().describe("media type as the device stated it"),
});
export type RecordedAttachment = z.infer<typeof recordedAttachmentSchema>;

/** The stand at one place: what was measured there and which moves were advised. */
export const standingSchema = z.object({
  step: z.string(),
  setup: z.number().int().min(1),
  measuredAt: time,
  outcome: z.string(),
  checks: z.array(
    checkResultSchema.pick({
      id: true,
      label: true,
      labelSaid: true,
      quantity: true,
      unit: true,
      required: true,
      measured: true,
      expandedUncertainty: true,
      verdict: true,
    }),
  ),
  moves: z.array(moveSchema),
});
export type Standing = z.infer<typeof standingSchema>;

/** Everything that the record says; what stands around it in a revision says when and after what. */
export const recordContentSchema = z.object({
  title: z.string(),
  invented: z.boolean(),
  car: z.object({
    description: z.string(),
    plate: z.string(),
    vin: z.string(),
    odometer: z.string(),
    customer: z.string(),
    wheelbaseMm: z.number().nullable(),
    reason: z.string(),
    reasonNote: z.string(),
  }),
  bay: z.object({ name: z.string(), note: z.string() }),
  work: z.object({
    technician: z.string(),
    shop: z.string(),
    procedure: z.string(),
    note: z.string(),
    scanBefore: z.string(),
    scanAfter: z.string(),
  }),
  checks: z.array(recordedCheckSchema),
  job: z
    .record(z.string(), z.unknown())
    .describe("the inputs as a plumbshot-job document: print readings, lengths, plates, sheet"),
  camera: z.object({
    source: z.enum(["sheet photos", "saved profile", "own photos"]),
    profile: profileSchema.nullable(),
    alsoOf: z
      .array(z.string())
      .optional()
      .describe("names in the job's `phones` whose photos this lens took"),
  }),
  otherCameras: z
    .array(
      z.object({
        phone: z.string().optional().describe("its name in the job's `phones`"),
        alsoOf: z.array(z.string()).optional().describe("further names there with the same lens"),
        source: z.enum(["sheet photos", "saved profile"]),
        profile: profileSchema,
      }),
    )
    .optional()
    .describe("lenses of the other phones that worked on the job"),
  result: resultSchema.nullable().describe("null where the present entries gave no result"),
  steps: z
    .array(z.object({ id: z.string(), title: z.string(), result: resultSchema }))
    .describe("results of the sheet's other steps, as they were when they were left"),
  standings: z.array(standingSchema).describe("earlier places of the stand, oldest first"),
  watch: z.array(z.unknown()).describe("what was seen while the scan tool ran, oldest first"),
  photos: z.array(recordedPhotoSchema),
  attachments: z.array(recordedAttachmentSchema),
});
export type RecordContent = z.infer<typeof recordContentSchema>;

/** Place in the chain of all records that one device has closed. */
export const chainLinkSchema = z.object({
  device: z.string().describe("random name that the device gave itself; no personal data"),
  sequence: z.number().int().min(1),
  previous: sha256Schema.nullable().describe("the device's revision closed before this one"),
});
export type ChainLink = z.infer<typeof chainLinkSchema>;

export const changeSchema = z.object({
  path: z.string(),
  how: z.enum(["changed", "added", "removed"]),
  was: z.string().optional(),
  is: z.string().optional(),
});
export type Change = z.infer<typeof changeSchema>;

export const revisionSchema = z.object({
  format: z.literal(recordFormat),
  version: z.literal(recordVersion),
  record: z.string().min(1).describe("names the job on all its revisions"),
  number: z.number().int().min(1).describe("1 for the first revision of the job"),
  supersedes: sha256Schema.nullable().describe("the revision before this one"),
  changes: z.array(changeSchema).describe("against the revision before; empty in revision 1"),
  changeReason: z.string().describe("why there is a further revision, in a person's words"),
  chain: chainLinkSchema,
  closedAt: time,
  timeZone: z.string().describe("IANA name, as the device has it"),
  program: z.string(),
  openPoints: z.array(openPointSchema).describe("open at closing, listed and confirmed"),
  content: recordContentSchema,
  seals: z
    .record(z.string(), sha256Schema)
    .describe("JSON Pointer of a part of this document -> SHA-256 of its canonical JSON"),
});
export type Revision = z.infer<typeof revisionSchema>;

export type ReadRevision =
  | { readonly ok: true; readonly revision: Revision }
  | {
      readonly ok: false;
      readonly reason: "newer version" | "not readable";
      readonly detail: string;
    };

/** Reads a revision that is already parsed as JSON; its bytes stay the ones that were hashed. */
export function readRevision(raw: unknown): ReadRevision {
  const head = z.object({ format: z.string(), version: z.number() }).safeParse(raw);
  if (head.success && head.data.format === recordFormat && head.data.version > recordVersion) {
    return { ok: false, reason: "newer version", detail: `version ${head.data.version}` };
  }
  const parsed = revisionSchema.safeParse(raw);
  if (parsed.success) return { ok: true, revision: parsed.data };
  const [issue] = parsed.error.issues;
  const detail = `${issue.path.join("/") || "the whole document"}: ${issue.message}`;
  return { ok: false, reason: "not readable", detail };
}
