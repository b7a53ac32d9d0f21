/** Puts the files of a record archive together. */
import type { SealedRevision } from "../close-revision.ts";
import type { Sha256 } from "../sha256.ts";
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

/**
 * The files of one record: all its revisions (oldest first), their signatures by the revision's hash,
 * and the job folder of the last one. `objectOf` gives the bytes that a hash stands for.
 */
export function recordArchiveFiles(
  revisions: readonly Pick<SealedRevision, "sha256" | "bytes" | "revision">[],
  signatures: ReadonlyMap<Sha256, string>,
  objectOf: (sha256: Sha256) => ByteSource,
): ArchiveFile[] {
  const last = revisions.at(-1);
  if (!last) throw new RangeError("An archive needs at least one closed revision.");
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
    ...objects.map(({ file, sha256 }) => ({ name: file, source: objectOf(sha256) })),
    ...[...earlier].map((sha256) => ({ name: objectFileName(sha256), source: objectOf(sha256) })),
  ];
}
