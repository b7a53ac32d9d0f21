/** Puts the files of a record archive together. */
import type { SealedRevision } from "../close-revision.ts";
import { hashOf, type Sha256 } from "../sha256.ts";
import { type CopyKind, photosOf, withheldFileName, withheldText } from "../withheld.ts";
import { type ByteSource, bytesAsSource } from "./byte-source.ts";
import {
  folderTexts,
  objectFileName,
  objectsOf,
  revisionFileName,
  signatureFileName,
} from "./record-files.ts";
import type { ArchiveFile } from "./write-archive.ts";

const text = (name: string, words: string): ArchiveFile => ({
  name,
  source: bytesAsSource(new TextEncoder().encode(words)),
});

/** Copies that go instead of the photos, by path; empty where none go. */
export interface CopiesInstead {
  readonly kind: CopyKind;
  readonly files: ReadonlyMap<string, Uint8Array>;
}

/**
 * The files of one record: all its revisions (oldest first), their signatures by the revision's hash,
 * and the job folder of the last one. `objectOf` gives the bytes that a hash stands for. With `instead`
 * no original photo goes along, and the archive says so.
 */
export function recordArchiveFiles(
  revisions: readonly Pick<SealedRevision, "sha256" | "bytes" | "revision">[],
  signatures: ReadonlyMap<Sha256, string>,
  objectOf: (sha256: Sha256) => ByteSource,
  instead: CopiesInstead | null = null,
): ArchiveFile[] {
  const last = revisions.at(-1);
  if (!last) throw new RangeError("An archive needs at least one closed revision.");
  const kept = new Set(instead ? photosOf(revisions.map(({ revision }) => revision)) : []);
  const objects = objectsOf(last.revision);
  const inFolder = new Set(objects.map(({ sha256 }) => sha256));
  const earlier = new Set(
    revisions
      .slice(0, -1)
      .flatMap(({ revision }) => objectsOf(revision))
      .map(({ sha256 }) => sha256)
      .filter((sha256) => !inFolder.has(sha256)),
  );
  return [
    ...revisions.map(({ sha256, bytes }) => ({
      name: revisionFileName(sha256),
      source: bytesAsSource(bytes),
    })),
    ...[...signatures].map(([sha256, words]) => text(signatureFileName(sha256), words)),
    ...[...folderTexts(last.revision)].map(([name, words]) => text(name, words)),
    ...objects
      .filter(({ sha256 }) => !kept.has(sha256))
      .map(({ file, sha256 }) => ({ name: file, source: objectOf(sha256) })),
    ...[...earlier]
      .filter((sha256) => !kept.has(sha256))
      .map((sha256) => ({ name: objectFileName(sha256), source: objectOf(sha256) })),
    ...(instead ? withheldFiles([...kept], instead) : []),
  ];
}

function withheldFiles(photos: readonly Sha256[], { kind, files }: CopiesInstead): ArchiveFile[] {
  const statement = withheldText({
    format: "plumbshot-withheld",
    version: 1,
    copies: kind,
    photos: [...photos],
    files: Object.fromEntries([...files].map(([name, bytes]) => [name, hashOf(bytes)])),
  });
  return [
    text(withheldFileName, statement),
    ...[...files].map(([name, bytes]) => ({ name, source: bytesAsSource(bytes) })),
  ];
}
