import { z } from "zod";
import { readingWays } from "../../../job/file/reading-ways.ts";
import { targetKinds } from "../../../placement/sheet/target-kinds.ts";
import { attachmentKinds, standingSchema } from "../../../record/revision.ts";
import { storedBlobSchema } from "./stored-blob.ts";

/**
 * What the app keeps on this device. Every record is parsed when it is read, so that an old or
 * damaged record ends in a sentence instead of a wrong number.
 */

export const checkStateSchema = z.object({
  state: z.enum(["open", "done", "does not apply"]),
  note: z.string(),
  photoId: z.string().nullable(),
});
export type CheckState = z.infer<typeof checkStateSchema>;

const checks = z.record(z.string(), checkStateSchema);

/** Parts of a job that belong to the shop and not to the car. */
export const takenParts = ["prints", "lengths", "plates", "target", "lens"] as const;

/** A set of wheel plates of the shop: "steel plates", with what the measurement needs of them. */
export const plateSetSchema = z.object({
  name: z.string(),
  /** Printed face out from the wheel's plane, mm; null until it was measured. */
  standOffMm: z.number().nullable(),
  standOffSdMm: z.number(),
  centringSdMm: z.number(),
  tiltSdDeg: z.number(),
});
export type PlateSet = z.infer<typeof plateSetSchema>;

const barSchema = z.object({ nominalMm: z.number(), readingMm: z.number().nullable() });

/** Boards that were printed together, with what a rule says on the two bars of one of their pages. */
export const printSetSchema = z.object({
  id: z.string(),
  name: z.string(),
  /** Numbers of its boards; of a job's first set none, because it has all that no other set names. */
  ids: z.array(z.number()),
  barHorizontal: barSchema,
  barVertical: barSchema,
  readingSdMm: z.number(),
});
export type PrintSet = z.infer<typeof printSetSchema>;

export const lengthReferenceSchema = z.object({
  id: z.string(),
  from: z.number().nullable(),
  to: z.number().nullable(),
  lengthMm: z.number().nullable(),
  sdMm: z.number().nullable(),
  /** How it was measured; the figure above follows from it until somebody changes it. */
  how: z.enum(readingWays).optional(),
  note: z.string(),
});
export type LengthReference = z.infer<typeof lengthReferenceSchema>;

export const readingSchema = z.object({
  id: z.string(),
  checkId: z.string(),
  value: z.number().nullable(),
  expandedUncertainty: z.number().nullable(),
  how: z.string(),
});
export type Reading = z.infer<typeof readingSchema>;

/** What was typed while a target is taught; its photos are those of purpose "target". */
export const teachingSchema = z.object({
  name: z.string(),
  kind: z.enum(targetKinds),
  widthMm: z.number().nullable(),
  heightMm: z.number().nullable(),
  standBoards: z.array(z.number()),
  pointers: z.object({ reference: z.number(), right: z.number(), above: z.number() }),
  touchSdMm: z.number(),
  storedAt: z.string(),
});
export type Teaching = z.infer<typeof teachingSchema>;

/** A file attached to the record; its bytes lie in a store of their own. */
export const attachmentSchema = z.object({
  id: z.string(),
  name: z.string(),
  kind: z.enum(attachmentKinds),
  type: z.string(),
  byteLength: z.number(),
  addedAt: z.string(),
});
export type Attachment = z.infer<typeof attachmentSchema>;

export const jobRecordSchema = z.object({
  format: z.literal("plumbshot-app-job"),
  version: z.literal(2),
  id: z.string(),
  title: z.string(),
  invented: z.boolean(),
  createdAt: z.string(),
  updatedAt: z.string(),
  car: z.object({
    description: z.string(),
    plate: z.string(),
    vin: z.string(),
    odometer: z.string(),
    customer: z.string(),
    wheelbaseMm: z.number().nullable(),
    reason: z.string(),
    reasonNote: z.string(),
    checks,
  }),
  bay: z.object({ name: z.string(), note: z.string(), checks }),
  boards: z.object({
    cellMm: z.number(),
    /** The two bars printed on every page: length as designed and what the ruler says. */
    barHorizontal: barSchema,
    barVertical: barSchema,
    readingSdMm: z.number(),
    /** Name of the first set of prints, whose readings stand above. */
    setName: z.string().default(""),
    /** Further sets: boards of another printer, paper or day. */
    sets: z.array(printSetSchema).default([]),
    lengths: z.array(lengthReferenceSchema),
    /** Other statements in the words of job.json (plates, floor, target, levels). */
    statements: z.record(z.string(), z.unknown()),
  }),
  camera: z.object({
    source: z.enum(["sheet photos", "saved profile", "own photos"]),
    profileId: z.string().nullable(),
    /** Kept lenses of further phones or lenses that took photos of this job. */
    others: z.array(z.string()).optional(),
  }),
  photos: z.object({
    /** Car positions (rolled or steered in between) and stand set-ups begun so far. */
    positions: z.number().int().min(1),
    positionKind: z.enum(["rolled", "turned", "refitted"]),
    setups: z.number().int().min(1),
  }),
  placement: z.object({
    /** A placement sheet, parsed by its own schema where it is used. */
    sheet: z.unknown(),
    /** Id of the sheet's step, empty for the first. */
    step: z.string(),
    /** What the checks said before the stand was last moved. */
    was: z
      .object({
        measuredAt: z.string(),
        checks: z.array(
          z.object({
            id: z.string(),
            measured: z.number(),
            expandedUncertainty: z.number(),
            verdict: z.enum(["meets", "misses", "not proven"]),
          }),
        ),
      })
      .optional(),
    readings: z.array(readingSchema),
  }),
  record: z.object({
    technician: z.string(),
    shop: z.string(),
    procedure: z.string(),
    note: z.string(),
    scanBefore: z.string(),
    scanAfter: z.string(),
    checks,
    /** When the last revision was closed; the revision itself is a document of its own. */
    closedAt: z.string().nullable(),
    attachments: z.array(attachmentSchema).default([]),
  }),
  /** Earlier places of the stand with what was measured there, oldest first. */
  standings: z.array(standingSchema).default([]),
  teaching: teachingSchema.optional(),
  /** What was taken over from the shop's last job, and when that was last changed. */
  takenOver: z.object({ from: z.string(), parts: z.array(z.enum(takenParts)) }).optional(),
  /** Entries that could not be read, by their field's place: they hold the verdict back. */
  unread: z.record(z.string(), z.object({ label: z.string(), text: z.string() })).optional(),
  backedUpAt: z.string().nullable(),
  /** Raised by every change: tells a tab that another one has written meanwhile. */
  revision: z.number().int().default(0),
});
export type JobRecord = z.infer<typeof jobRecordSchema>;

export const photoPurposeSchema = z.enum(["boards", "sheet", "target", "note"]);
export type PhotoPurpose = z.infer<typeof photoPurposeSchema>;

/** A photo without its bytes; the bytes lie in a store of their own, so lists stay light. */
export const photoRecordSchema = z.object({
  id: z.string(),
  jobId: z.string(),
  name: z.string(),
  purpose: photoPurposeSchema,
  /** Car position, counted from 1. */
  position: z.number().int().min(1),
  /** Set-up of the stand, counted from 1; raised by "the stand was moved". */
  setup: z.number().int().min(1),
  /** Before or after the calibration run. */
  epoch: z.enum(["before", "after"]),
  /** Which stage of the sheet or which check a note photo belongs to. */
  about: z.string(),
  addedAt: z.string(),
  byteLength: z.number(),
  fingerprint: z.string(),
  thumb: storedBlobSchema.nullable(),
  /** The small picture is the camera's own; a sharper one follows when there is time. */
  preview: z.boolean().optional(),
  /** Put aside by the user: kept for undo. */
  removed: z.boolean(),
  /** Another phone of the shop that it came from; absent where it was added on this one. */
  device: z.string().optional(),
  /** Its return was offered when the job was opened again, or declined: the next opening ends it. */
  offeredBack: z.boolean().optional(),
});
export type PhotoRecord = z.infer<typeof photoRecordSchema>;

export const settingsSchema = z.object({
  language: z.enum(["auto", "en", "es"]),
  theme: z.enum(["auto", "light", "dark"]),
  length: z.enum(["mm", "inch", "inch16"]),
  angle: z.enum(["deg", "mm/m"]),
  paper: z.enum(["a4", "letter"]),
  technician: z.string(),
  shop: z.string(),
  /** Sets of wheel plates of this shop, by name. */
  plateSets: z.array(plateSetSchema),
  /** Sets of prints of this shop, by name. */
  printSets: z.array(printSetSchema),
  /** Larger controls, farther apart. */
  gloves: z.boolean(),
  /** Moves and verdicts are read aloud. */
  aloud: z.boolean(),
  /** Tones for found and not found. */
  tones: z.boolean(),
});
export type Settings = z.infer<typeof settingsSchema>;

export const defaultSettings: Settings = {
  language: "auto",
  theme: "auto",
  length: "mm",
  angle: "deg",
  paper: "a4",
  technician: "",
  shop: "",
  plateSets: [],
  printSets: [],
  gloves: false,
  aloud: false,
  tones: false,
};
