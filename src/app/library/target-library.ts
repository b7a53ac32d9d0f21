import { z } from "zod";
import {
  type LibraryTarget,
  libraryTargetSchema,
  targetLibraryFormat,
  targetLibrarySchema,
} from "../../placement/target/target-library.ts";
import { all, database, newId, write } from "../store/database/database.ts";
import { saving } from "../store/database/not-saved.ts";
import type { JobRecord } from "../store/database/schema.ts";
import { readJsonFile } from "./read-json-file.ts";

/** A target of the shop as this device keeps it. */
export interface KeptTarget {
  readonly id: string;
  readonly target: LibraryTarget;
}

export async function listTargets(): Promise<KeptTarget[]> {
  const db = await database();
  const kept: KeptTarget[] = [];
  for (const id of await db.getAllKeys("targets")) {
    const parsed = libraryTargetSchema.safeParse(await db.get("targets", id));
    if (parsed.success) {
      kept.push({ id, target: parsed.data });
    }
  }
  return kept.sort((a, b) => a.target.name.localeCompare(b.target.name));
}

export const keepTarget = (target: LibraryTarget): Promise<void> => keepTargets([target]);

/** Keeps all of them or none. */
export const keepTargets = (targets: readonly LibraryTarget[]): Promise<void> =>
  saving("target", targets.map(({ name }) => name).join(", "), () =>
    write(["targets"], async (stores) => {
      await all(targets.map((target) => () => stores.targets.put(target, newId())));
    }),
  );

export const forgetTarget = (id: string): Promise<void> =>
  saving("deletion", "", async () => {
    await (await database()).delete("targets", id);
  });

/** The library as the file that other devices and the command line read. */
export function libraryFile(kept: readonly KeptTarget[]): string {
  const targets = kept.map(({ target }) => target);
  return JSON.stringify({ format: targetLibraryFormat, version: 1, targets }, null, 2);
}

/** Reads a library file and keeps its targets; null where it is not one. */
export async function importLibrary(file: File): Promise<number | null> {
  const parsed = targetLibrarySchema.safeParse(await readJsonFile(file));
  if (!parsed.success) {
    return null;
  }
  await keepTargets(parsed.data.targets);
  return parsed.data.targets.length;
}

const point = z.tuple([z.number(), z.number(), z.number()]);

/** A target as job.json states it; defaults as in the job's own schema. */
const jobTargetSchema = z.looseObject({
  name: z.string().min(1),
  widthMm: z.number().optional(),
  heightMm: z.number().optional(),
  referenceInFaceMm: z.tuple([z.number(), z.number()]).optional(),
  boards: z
    .array(
      z.object({
        board: z.number(),
        centreMm: point,
        turnDeg: z
          .object({
            aboutX: z.number().optional(),
            aboutY: z.number().optional(),
            aboutZ: z.number().optional(),
          })
          .optional(),
        shiftSdMm: z.number().default(0.5),
        turnSdDeg: z.number().default(0.05),
      }),
    )
    .min(1),
  feet: z.array(z.object({ name: z.string(), inTargetMm: point })).optional(),
});
export type JobTarget = z.infer<typeof jobTargetSchema>;

/** The complete targets of a job. */
export function targetsOf(record: JobRecord): JobTarget[] {
  const stated = record.boards.statements.targets;
  return (Array.isArray(stated) ? stated : []).flatMap((item) => {
    const parsed = jobTargetSchema.safeParse(item);
    return parsed.success ? [parsed.data] : [];
  });
}

/** A job's target as the library keeps it. */
export function toLibrary(
  target: JobTarget,
  how: Pick<LibraryTarget, "kind" | "storedAt" | "invented">,
  today: string,
): LibraryTarget {
  const { name, widthMm, heightMm, referenceInFaceMm, boards, feet } = target;
  return {
    ...how,
    name,
    widthMm,
    heightMm,
    referenceInFaceMm,
    feet,
    boards: boards.map(({ board, centreMm, ...rest }) => ({
      ...rest,
      board: String(board),
      centreInTargetMm: centreMm,
    })),
    taught: { how: "typed offsets", on: today },
  };
}

/** A kept target in the words of job.json. */
export function toJobTarget(target: LibraryTarget): JobTarget {
  const { name, widthMm, heightMm, referenceInFaceMm, boards, feet } = target;
  return {
    name,
    ...(widthMm === undefined ? {} : { widthMm }),
    ...(heightMm === undefined ? {} : { heightMm }),
    ...(referenceInFaceMm === undefined ? {} : { referenceInFaceMm }),
    ...(feet === undefined ? {} : { feet }),
    boards: boards.map(({ board, centreInTargetMm, ...rest }) => ({
      ...rest,
      board: Number.parseInt(board, 10),
      centreMm: centreInTargetMm,
    })),
  };
}

/** The job with this target, in place of one of the same name. */
export function withTarget(record: JobRecord, target: LibraryTarget): JobRecord {
  const others = targetsOf(record).filter((item) => item.name !== target.name);
  const targets = [...others, toJobTarget(target)];
  const statements = { ...record.boards.statements, targets };
  return { ...record, boards: { ...record.boards, statements } };
}
