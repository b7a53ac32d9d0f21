import { z } from "zod";
import { canonicalText } from "../../../record/canonical.ts";
import { closedRevisionOf, type SealedRevision } from "../../../record/close-revision.ts";
import type { ChainLink } from "../../../record/revision.ts";
import { type Sha256, sha256Schema } from "../../../record/sha256.ts";
import { readSignature, type Signature } from "../../../record/signature.ts";
import { all, database, newId, storable, write } from "../database/database.ts";
import { saving } from "../database/not-saved.ts";
import { type RevisionEntry, revisionEntrySchema } from "../database/revision-entry.ts";
import { storedBlobSchema } from "../database/stored-blob.ts";

/**
 * Closed revisions on this device. They are added, never changed: there is no function here that
 * writes to a revision that is stored.
 */

const chainSchema = z.object({
  device: z.string(),
  sequence: z.number().int().min(0),
  previous: sha256Schema.nullable(),
});
const chainKey = "chain";

const newChain = () => ({ device: newId(), sequence: 0, previous: null });

/** The link that the next revision of this device gets. */
export async function nextLink(): Promise<ChainLink> {
  const raw = await (await database()).get("settings", chainKey);
  const { device, sequence, previous } = chainSchema.safeParse(raw).data ?? newChain();
  return { device, sequence: sequence + 1, previous };
}

/** Another tab has closed a record in between: the link is not the next one any more. */
export class ChainMoved extends Error {}

/** Stores a closed revision, its entry and the chain's new end, all or none. */
export const addRevision = (sealed: SealedRevision, entry: RevisionEntry): Promise<void> =>
  saving("revision", entry.title, () =>
    write(["revisions", "revisionEntries", "settings"], async (stores) => {
      const { device, sequence } = sealed.revision.chain;
      const present = chainSchema.safeParse(await stores.settings.get(chainKey)).data;
      if (present && present.sequence !== sequence - 1) {
        throw new ChainMoved("Another record was closed meanwhile.");
      }
      await all([
        // `add`, not `put`: what is stored under this name stays.
        () => stores.revisions.add(sealed.bytes, sealed.sha256),
        () => stores.revisionEntries.add(entry, sealed.sha256),
        () => stores.settings.put({ device, sequence, previous: sealed.sha256 }, chainKey),
      ]);
    }),
  );

const readEntries = (raw: readonly unknown[]): RevisionEntry[] =>
  raw
    .flatMap((item) => revisionEntrySchema.safeParse(item).data ?? [])
    .sort((a, b) => a.closedAt.localeCompare(b.closedAt) || a.number - b.number);

/** Entries of a job's closed revisions, the first one first. */
export async function listRevisions(jobId: string): Promise<RevisionEntry[]> {
  const db = await database();
  return readEntries(await db.getAllFromIndex("revisionEntries", "jobId", jobId)).sort(
    (a, b) => a.number - b.number,
  );
}

/** Entries of everything that was closed on this device, oldest first. */
export async function listAllRevisions(): Promise<RevisionEntry[]> {
  return readEntries(await (await database()).getAll("revisionEntries"));
}

/** A stored revision; null where there is none or its bytes are not those that its name stands for. */
export async function loadRevision(sha256: Sha256): Promise<SealedRevision | null> {
  const stored = await (await database()).get("revisions", sha256);
  return stored instanceof Uint8Array ? closedRevisionOf(Uint8Array.from(stored), sha256) : null;
}

export const saveSignature = (signature: Signature): Promise<void> =>
  saving("revision", "", async () => {
    await (await database()).put("signatures", canonicalText(signature), signature.signs);
  });

/** The text of a revision's signature; null where it is not signed. */
export async function loadSignature(sha256: Sha256): Promise<string | null> {
  const text = await (await database()).get("signatures", sha256);
  return typeof text === "string" && readSignature(text) ? text : null;
}

export const saveAttachment = (id: string, file: Blob, name: string): Promise<void> =>
  saving("attachment", name, async () => {
    const db = await database();
    await db.put("attachments", await storable(db, file), id);
  });

export async function attachmentBytes(id: string): Promise<Blob | null> {
  const parsed = storedBlobSchema.safeParse(await (await database()).get("attachments", id));
  return parsed.success ? parsed.data : null;
}
