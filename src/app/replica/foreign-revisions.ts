import type { SealedRevision } from "../../record/close-revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { all, database, write } from "../store/database/database.ts";
import { saving } from "../store/database/not-saved.ts";
import {
  deletedEntry,
  type RevisionEntry,
  revisionEntrySchema,
} from "../store/database/revision-entry.ts";

/**
 * Closed records of the shop's other devices: to be found, read and compared here. They stand outside
 * this device's own chain, and one that is here already stays with its own job.
 */
export const keepForeignRevision = (sealed: SealedRevision, entry: RevisionEntry): Promise<void> =>
  saving("revision", entry.title, () =>
    write(["revisions", "revisionEntries"], async (stores) => {
      const present = await stores.revisionEntries.get(sealed.sha256);
      // Deleted for good on this device: it does not come back.
      if (present !== undefined) return;
      await all([
        () => stores.revisions.put(sealed.bytes, sealed.sha256),
        () => stores.revisionEntries.put(entry, sealed.sha256),
      ]);
    }),
  );

/** True where this device has the record, or had it and deleted it for good. */
export const isKnownRevision = async (sha256: Sha256): Promise<boolean> =>
  (await (await database()).getKey("revisionEntries", sha256)) !== undefined;

/** Deletes closed records for good, with photos and files that no other record rests on. */
export const removeRevisions = (hashes: readonly Sha256[]): Promise<void> =>
  saving("deletion", "", async () => {
    const names = ["revisions", "revisionEntries", "signatures"] as const;
    const ofPhotos = ["photos", "photoBytes", "outcomes", "attachments"] as const;
    await write([...names, ...ofPhotos], async (stores) => {
      const gone = new Set<string>(hashes);
      const entries = (await stores.revisionEntries.getAll()).flatMap(
        (raw) => revisionEntrySchema.safeParse(raw).data ?? [],
      );
      const kept = new Set(
        entries
          .filter(({ sha256 }) => !gone.has(sha256))
          .flatMap(({ photos, attachments }) => [...photos, ...attachments].map(({ id }) => id)),
      );
      for (const entry of entries.filter(({ sha256 }) => gone.has(sha256))) {
        const ids = [...entry.photos, ...entry.attachments].map(({ id }) => id);
        await all([
          () => stores.revisions.delete(entry.sha256),
          () => stores.signatures.delete(entry.sha256),
          () => stores.revisionEntries.put(deletedEntry(entry), entry.sha256),
          ...ids
            .filter((id) => !kept.has(id))
            .flatMap((id) => ofPhotos.map((name) => () => stores[name].delete(id))),
        ]);
      }
    });
  });
