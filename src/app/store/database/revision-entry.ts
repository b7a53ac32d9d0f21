import { z } from "zod";
import { saidSchema } from "../../../job/result/result.ts";
import type { SealedRevision } from "../../../record/close-revision.ts";
import { sha256Schema } from "../../../record/sha256.ts";

/** What lists, searches and statistics need of a closed revision, without reading all of it. */
export const revisionEntrySchema = z.object({
  version: z.literal(1),
  sha256: sha256Schema,
  jobId: z.string(),
  number: z.number().int().min(1),
  sequence: z.number().int().min(1),
  closedAt: z.string(),
  title: z.string(),
  plate: z.string(),
  vin: z.string(),
  vehicle: z.string(),
  customer: z.string(),
  technician: z.string(),
  sheet: z.string(),
  /** Readings on the two bars over their design, as shares of 1; null where unchecked. */
  printScales: z.object({ horizontal: z.number(), vertical: z.number() }).nullable(),
  /** Names of the sets of prints that were photographed. */
  printSets: z.array(z.string()).default([]),
  outcome: z.enum(["all meet", "some miss", "not proven", "none"]),
  checks: z.array(
    z.object({
      id: z.string(),
      label: z.string(),
      /** The label as data, for other languages; absent where the sheet has its own words. */
      labelSaid: saidSchema.optional(),
      unit: z.enum(["mm", "deg"]),
      expandedUncertainty: z.number(),
      verdict: z.string(),
    }),
  ),
  /** Digest of what the job said when it was closed: tells whether it was changed since. */
  stateKey: z.string(),
  /** Which stored bytes the hashes in the revision stand for. */
  photos: z.array(z.object({ id: z.string(), sha256: sha256Schema })),
  attachments: z.array(z.object({ id: z.string(), sha256: sha256Schema })),
});
export type RevisionEntry = z.infer<typeof revisionEntrySchema>;

/** Of a record that was deleted for good: its place in the chain, nothing else. */
const deletedEntrySchema = z.object({
  version: z.literal(1),
  deleted: z.literal(true),
  sha256: sha256Schema,
  sequence: z.number().int().min(1),
});

export type DeletedEntry = z.infer<typeof deletedEntrySchema>;

/** The mark that a deleted record left; null for anything else. */
export const readDeletedEntry = (raw: unknown): DeletedEntry | null =>
  deletedEntrySchema.safeParse(raw).data ?? null;

export const deletedEntry = (raw: unknown): DeletedEntry => {
  const parsed = revisionEntrySchema.safeParse(raw);
  const { sha256, sequence } = parsed.success ? parsed.data : deletedEntrySchema.parse(raw);
  return { version: 1, deleted: true, sha256, sequence };
};

export const attachmentsOf = (raw: unknown): readonly { readonly id: string }[] =>
  revisionEntrySchema.safeParse(raw).data?.attachments ?? [];

const barSchema = z.object({ nominalMm: z.number(), readingMm: z.number() });
const printCheckSchema = z.object({ horizontal: barSchema, vertical: barSchema });

const namedSetsSchema = z.object({
  setName: z.string().optional(),
  sets: z.array(z.object({ name: z.string() })).optional(),
});

/** What the job's sets of prints are called. */
function setNames(boards: unknown): string[] {
  const { setName, sets = [] } = namedSetsSchema.safeParse(boards).data ?? {};
  return [...(setName ? [setName] : []), ...sets.map(({ name }) => name)];
}

/** The entry of a revision that has just been closed. */
export function entryOf(
  { sha256, revision }: SealedRevision,
  stored: Pick<RevisionEntry, "stateKey" | "photos" | "attachments">,
): RevisionEntry {
  const { content } = revision;
  const { car, work, job, result } = content;
  const prints = printCheckSchema.safeParse(
    (job.boards as { printCheck?: unknown } | undefined)?.printCheck,
  );
  const scale = ({ nominalMm, readingMm }: z.infer<typeof barSchema>) => readingMm / nominalMm;
  const sheet = (job.placement as { title?: unknown } | null)?.title;
  return {
    version: 1,
    sha256,
    jobId: revision.record,
    number: revision.number,
    sequence: revision.chain.sequence,
    closedAt: revision.closedAt,
    title: content.title,
    plate: car.plate,
    vin: car.vin,
    vehicle: car.description,
    customer: car.customer,
    technician: work.technician,
    sheet: typeof sheet === "string" ? sheet : "",
    printScales: prints.success
      ? { horizontal: scale(prints.data.horizontal), vertical: scale(prints.data.vertical) }
      : null,
    printSets: setNames(job.boards),
    outcome: result?.outcome ?? "none",
    checks: (result?.checks ?? []).map((check) => {
      const { id, label, labelSaid, unit, expandedUncertainty, verdict } = check;
      return {
        ...{ id, label, unit, expandedUncertainty, verdict },
        ...(labelSaid ? { labelSaid } : {}),
      };
    }),
    ...stored,
  };
}
