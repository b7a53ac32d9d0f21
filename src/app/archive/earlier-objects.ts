import { objectFileName } from "../../record/archive/record-files.ts";
import type { SealedRevision } from "../../record/close-revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import { newId } from "../store/database/database.ts";
import type { Attachment } from "../store/database/schema.ts";
import type { ImportedPhoto } from "../store/imported-job.ts";
import { hashOfBlob } from "./blob-hash.ts";

/** Photos and attached files that only earlier revisions rest on: kept for them, not in the job. */
export interface EarlierObjects {
  readonly photos: readonly (ImportedPhoto & { readonly sha256: Sha256 })[];
  readonly attached: readonly {
    readonly item: Attachment;
    readonly blob: Blob;
    readonly sha256: Sha256;
  }[];
}

export const isObject = (path: string): boolean => /^objects\/[0-9a-f]{64}$/.test(path);

/** Null with the path where the bytes of an object are not those that its name stands for. */
export async function earlierObjects(
  sealed: readonly SealedRevision[],
  files: ReadonlyMap<string, Blob>,
  jobId: string,
): Promise<{ readonly ok: true; readonly objects: EarlierObjects } | { ok: false; path: string }> {
  const photos: EarlierObjects["photos"][number][] = [];
  const attached: EarlierObjects["attached"][number][] = [];
  const seen = new Set<Sha256>();
  for (const { content } of sealed.map(({ revision }) => revision)) {
    for (const { sha256, name, kind, type, addedAt, bytes } of content.attachments) {
      const blob = files.get(objectFileName(sha256));
      if (blob && !seen.has(sha256)) {
        seen.add(sha256);
        const item = { id: newId(), name, kind, type, addedAt, byteLength: bytes };
        attached.push({ item, blob, sha256 });
      }
    }
    for (const {
      sha256,
      bytes,
      name,
      purpose,
      position,
      setup,
      epoch,
      about,
      addedAt,
    } of content.photos) {
      const blob = files.get(objectFileName(sha256));
      if (blob && !seen.has(sha256)) {
        seen.add(sha256);
        const place = { name, purpose, position, setup, epoch, about, addedAt };
        // Put aside, and not offered back: the job was closed again without it.
        const aside = { removed: true, offeredBack: true, thumb: null, fingerprint: "" };
        const photo = { id: newId(), jobId, byteLength: bytes, ...place, ...aside };
        photos.push({ photo, blob, sha256 });
      }
    }
  }
  for (const { sha256, blob } of [...photos, ...attached]) {
    if ((await hashOfBlob(blob)) !== sha256) {
      return { ok: false, path: objectFileName(sha256) };
    }
  }
  return { ok: true, objects: { photos, attached } };
}
