/** The objects of a record archive, to be put into a store: revisions, signatures, photos, files. */
import { readAll } from "../../record/archive/byte-source.ts";
import { openArchive } from "../../record/archive/read-archive.ts";
import { objectsOf } from "../../record/archive/record-files.ts";
import { closedRevisionOf, type SealedRevision } from "../../record/close-revision.ts";
import { hashOf, type Sha256 } from "../../record/sha256.ts";
import { readSignature } from "../../record/signature.ts";
import { summaryOf } from "../../replicate/formats/summary.ts";
import type { Bytes } from "../../replicate/stores/store.ts";
import type { Outgoing } from "../../replicate/sync/replica.ts";
import { UnusableInput } from "../job-folder.ts";
import { openFile } from "../record-archive.ts";

export interface ArchiveObject {
  readonly entry: Outgoing;
  readonly bytes: Bytes;
}

/** Everything that the archive's revisions name and that is what its hash says. Throws UnusableInput. */
export async function objectsInArchive(
  path: string,
): Promise<{ readonly objects: readonly ArchiveObject[]; readonly missing: number }> {
  const source = await openFile(path);
  try {
    const opened = await openArchive(source);
    const byHash = new Map<Sha256, Bytes>();
    const revisions: SealedRevision[] = [];
    const objects: ArchiveObject[] = [];
    for (const { name, from, size } of opened?.files ?? []) {
      const bytes = new Uint8Array(await readAll(source, from, from + size)) as Bytes;
      byHash.set(hashOf(bytes), bytes);
      const named = /^records\/([0-9a-f]{64})\.json$/.exec(name)?.[1];
      const sealed = named ? closedRevisionOf(bytes, named as Sha256) : null;
      if (named && !sealed) throw new UnusableInput(`${path}: ${name} is not as it was closed.`);
      if (sealed) revisions.push(sealed);
      const signature = name.startsWith("signatures/")
        ? readSignature(new TextDecoder().decode(bytes))
        : null;
      if (signature) objects.push(object("signature", bytes, { of: signature.signs }));
    }
    if (revisions.length === 0) throw new UnusableInput(`${path} is no record archive.`);
    let missing = 0;
    for (const { sha256, revision, bytes } of revisions) {
      objects.push(object("record", bytes, { record: summaryOf(revision) }));
      const photos = new Set<Sha256>(revision.content.photos.map((photo) => photo.sha256));
      for (const named of objectsOf(revision)) {
        const found = byHash.get(named.sha256);
        const kind = photos.has(named.sha256) ? "photo" : "attachment";
        if (found) objects.push(object(kind, found, { of: sha256 }));
        else missing++;
      }
    }
    // Revisions rest on the same photos.
    const once = new Map(objects.map((one) => [one.entry.sha256, one]));
    return { objects: [...once.values()], missing };
  } finally {
    await source.close();
  }
}

const object = (kind: Outgoing["kind"], bytes: Bytes, about: Partial<Outgoing>): ArchiveObject => ({
  entry: { kind, sha256: hashOf(bytes), bytes: bytes.length, ...about },
  bytes,
});
