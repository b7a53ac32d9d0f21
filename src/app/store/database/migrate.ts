import { type JobRecord, jobRecordSchema } from "./schema.ts";

/**
 * Brings a stored job of any earlier version to the present one, step by step, then parses it.
 * A step knows only its own two versions.
 */

type Loose = Record<string, unknown>;

const steps: Record<number, (record: Loose) => Loose> = {
  /** The first layout had no readings by other means, no stand set-ups, no backup reminder. */
  1: (record) => {
    const placement = (record.placement ?? {}) as Loose;
    const photos = (record.photos ?? {}) as Loose;
    return {
      ...record,
      version: 2,
      photos: { ...photos, positionKind: "rolled", setups: 1 },
      placement: { ...placement, readings: [] },
      backedUpAt: null,
    };
  },
};

export type MigrationOutcome =
  | { readonly ok: true; readonly record: JobRecord; readonly changed: boolean }
  | { readonly ok: false; readonly reason: RecordProblem; readonly detail: string };

/** Why a record cannot be used; `detail` names the field or version. */
export type RecordProblem = "newer version" | "not readable";

const presentVersion = 2;

/** Parses a stored or imported job record of any version that this program knows. */
export function readJobRecord(raw: unknown): MigrationOutcome {
  if (typeof raw !== "object" || raw === null) {
    return { ok: false, reason: "not readable", detail: "the record is not an object" };
  }
  let record = { ...(raw as Loose) };
  const first = record.version;
  if (typeof first === "number" && first > presentVersion) {
    return { ok: false, reason: "newer version", detail: `version ${first}` };
  }
  while (typeof record.version === "number" && record.version in steps) {
    record = steps[record.version](record);
  }
  const parsed = jobRecordSchema.safeParse(record);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const detail = `${issue.path.join(".") || "record"}: ${issue.message}`;
    return { ok: false, reason: "not readable", detail };
  }
  return { ok: true, record: parsed.data, changed: first !== parsed.data.version };
}
