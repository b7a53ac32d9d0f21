import { z } from "zod";
import type { JobRecord } from "../store/database/schema.ts";

/**
 * A target whose place against its boards is typed, while numbers may still be missing. It lies
 * among the statements of job.json, whose own schema refuses it until it is complete.
 */
const size = z.number().optional();
const place = z.array(z.number().nullable()).length(3);

const boardSchema = z.looseObject({ board: z.number(), centreMm: place });
const footSchema = z.looseObject({ name: z.string(), inTargetMm: place });
const targetSchema = z.looseObject({
  name: z.string(),
  widthMm: size,
  heightMm: size,
  boards: z.array(boardSchema),
  feet: z.array(footSchema).optional(),
});
export type TypedTarget = z.infer<typeof targetSchema>;
export type TypedBoard = z.infer<typeof boardSchema>;

/** How exactly a rule and an eye place a board: common practice, no source. */
export const byRule = { shiftSdMm: 0.5, turnSdDeg: 0.3 } as const;

/** The job's targets as far as they have the form of one. */
export const typedTargets = (record: Pick<JobRecord, "boards">): TypedTarget[] => {
  const stated = record.boards.statements.targets;
  return (Array.isArray(stated) ? stated : []).flatMap((item) => {
    const parsed = targetSchema.safeParse(item);
    return parsed.success ? [parsed.data] : [];
  });
};

export const typedBoard = (board: number): TypedBoard => ({
  board,
  centreMm: [null, null, null],
  ...byRule,
});

/** The job with this target, in place of the one of that name. */
export function withTypedTarget(record: JobRecord, name: string, target: TypedTarget): JobRecord {
  const stated = record.boards.statements.targets;
  const list: unknown[] = Array.isArray(stated) ? stated : [];
  const at = list.findIndex((item) => (item as { name?: unknown } | null)?.name === name);
  const targets = at < 0 ? [...list, target] : list.map((old, i) => (i === at ? target : old));
  return {
    ...record,
    boards: { ...record.boards, statements: { ...record.boards.statements, targets } },
  };
}

export function withoutTarget(record: JobRecord, name: string): JobRecord {
  const stated = record.boards.statements.targets;
  const targets = (Array.isArray(stated) ? (stated as unknown[]) : []).filter(
    (item) => (item as { name?: unknown } | null)?.name !== name,
  );
  return {
    ...record,
    boards: { ...record.boards, statements: { ...record.boards.statements, targets } },
  };
}

/** True where every board of the target has its three dimensions. */
export const isTargetComplete = (target: TypedTarget): boolean =>
  target.boards.length > 0 &&
  target.boards.every(({ centreMm }) => centreMm.every((part) => part !== null));
