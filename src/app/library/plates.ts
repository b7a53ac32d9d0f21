import { z } from "zod";
import { centringSdMm, offsetSdMm } from "../../job/file/reading-ways.ts";
import type { JobRecord, PlateSet } from "../store/database/schema.ts";

/** Read with a steel rule, clamped and centred: common practice, no source. */
const usual = {
  standOffSdMm: offsetSdMm["steel rule"],
  centringSdMm: centringSdMm["clamped and centred"],
  tiltSdDeg: 0.2,
} as const;

const statedSchema = z.looseObject({
  name: z.string().catch(""),
  standOffMm: z.number().nullish().catch(null),
  standOffSdMm: z.number().catch(usual.standOffSdMm),
  centringSdMm: z.number().catch(usual.centringSdMm),
  tiltSdDeg: z.number().catch(usual.tiltSdDeg),
});

/** The job's plates; the offset is null until it was stated, the name empty where nobody gave one. */
export function platesOf(record: Pick<JobRecord, "boards">): PlateSet {
  const parsed = statedSchema.safeParse(record.boards.statements.wheelPlates ?? {});
  const { name, standOffMm, standOffSdMm, centringSdMm, tiltSdDeg } = parsed.success
    ? parsed.data
    : { ...usual, name: "", standOffMm: null };
  return { name, standOffMm: standOffMm ?? null, standOffSdMm, centringSdMm, tiltSdDeg };
}

/**
 * The job with these plates; what is shown as usual is written down with them, so that no other
 * default counts. The set's name goes with them: an acceptance test holds for named plates.
 */
export function withPlates(record: JobRecord, change: Partial<PlateSet>): JobRecord {
  const { statements } = record.boards;
  const { name, standOffMm, ...others } = { ...platesOf(record), ...change };
  const {
    standOffMm: _old,
    name: _name,
    ...before
  } = (statements.wheelPlates ?? {}) as Record<string, unknown>;
  const wheelPlates = {
    ...before,
    ...(name.trim() === "" ? {} : { name }),
    ...others,
    ...(standOffMm === null ? {} : { standOffMm }),
  };
  return { ...record, boards: { ...record.boards, statements: { ...statements, wheelPlates } } };
}

/** True where the job says how far its plates stand out, or works without plates. */
export function platesStated(record: Pick<JobRecord, "boards">): boolean {
  const { plumbPoints } = record.boards.statements;
  return (
    platesOf(record).standOffMm !== null || (Array.isArray(plumbPoints) && plumbPoints.length > 0)
  );
}
