import "../../../workers/browser/no-eval.ts";
import regularFont from "@expo-google-fonts/atkinson-hyperlegible-next/400Regular/AtkinsonHyperlegibleNext_400Regular.ttf?url";
import boldFont from "@expo-google-fonts/atkinson-hyperlegible-next/700Bold/AtkinsonHyperlegibleNext_700Bold.ttf?url";
import { expose } from "comlink";
import { readExif } from "../../photo/exif/exif.ts";
import { sniffFormat } from "../../photo/file/sniff.ts";
import { type ByteSource, bytesAsSource } from "../../record/archive/byte-source.ts";
import { recordArchiveFiles } from "../../record/archive/record-archive.ts";
import { archivePieces } from "../../record/archive/write-archive.ts";
import type { SealedRevision } from "../../record/close-revision.ts";
import type { PaperDocument } from "../../record/paper/paper.ts";
import { writePdf } from "../../record/pdf/write-pdf.ts";
import { hashOf, type Sha256 } from "../../record/sha256.ts";
import type { PublicKey } from "../../record/signature.ts";
import { verifyArchive } from "../../record/verify/verify-archive.ts";
import type { CopyKind } from "../../record/withheld.ts";
import type { SealedFile } from "../session/record-content.ts";

/** What takes long about records, off the main thread: hashes, papers, archives, verification. */

const blobAsSource = (blob: Blob): ByteSource => ({
  size: blob.size,
  read: async (from, to) => new Uint8Array(await blob.slice(from, to).arrayBuffer()),
});

async function fontFile(url: string): Promise<Uint8Array> {
  const response = await fetch(url);
  if (!response.ok) {
    throw new Error(`${url}: ${response.status}`);
  }
  return new Uint8Array(await response.arrayBuffer());
}

/** The bytes of a stream of pieces as a blob, which the browser may keep on disk. */
async function blobOf(pieces: AsyncIterable<Uint8Array>, type: string): Promise<Blob> {
  let parts: Blob[] = [];
  for await (const piece of pieces) {
    parts.push(new Blob([piece as Uint8Array<ArrayBuffer>]));
    if (parts.length > 64) {
      parts = [new Blob(parts)];
    }
  }
  return new Blob(parts, { type });
}

const api = {
  /** Hash of a file, and what the camera wrote into it about time and program. */
  async seal(file: Blob): Promise<SealedFile> {
    const bytes = new Uint8Array(await file.arrayBuffer());
    const { facts } = readExif(bytes, sniffFormat(bytes), "");
    const [, takenAt, zone] = /^(.{19})(.*)$/.exec(facts?.takenAt ?? "") ?? [];
    return {
      sha256: hashOf(bytes),
      takenAt: takenAt ?? null,
      zone: zone || null,
      software: facts?.software ?? null,
      orientation: facts?.orientation ?? 1,
    };
  },

  /** The PDF of a paper; pictures are small JPEGs by name. */
  async pdf(paper: PaperDocument, pictures: ReadonlyMap<string, Blob>): Promise<Blob> {
    const files = new Map<string, Uint8Array>();
    for (const [name, blob] of pictures) {
      files.set(name, new Uint8Array(await blob.arrayBuffer()));
    }
    const [regular, bold] = await Promise.all([fontFile(regularFont), fontFile(boldFont)]);
    const bytes = await writePdf(paper, { regular, bold }, files);
    return new Blob([bytes as Uint8Array<ArrayBuffer>], { type: "application/pdf" });
  },

  /**
   * The archive of one record; `objects` are photos and attached files by their hash, `instead` copies
   * that go in place of the photos.
   */
  async archive(
    revisions: readonly SealedRevision[],
    signatures: ReadonlyMap<Sha256, string>,
    objects: ReadonlyMap<Sha256, Blob>,
    instead: { readonly kind: CopyKind; readonly files: ReadonlyMap<string, Blob> } | null,
  ): Promise<Blob> {
    const copies = new Map<string, Uint8Array>();
    for (const [name, blob] of instead?.files ?? []) {
      copies.set(name, new Uint8Array(await blob.arrayBuffer()));
    }
    const objectOf = (sha256: Sha256) => {
      const blob = objects.get(sha256);
      return blob ? blobAsSource(blob) : bytesAsSource(new Uint8Array());
    };
    const withheld = instead && { kind: instead.kind, files: copies };
    const files = recordArchiveFiles(revisions, signatures, objectOf, withheld);
    return blobOf(archivePieces(files), "application/zip");
  },

  /** `key`: what every revision must be signed with; null for any key or none. */
  async verify(archive: Blob, key: PublicKey | null) {
    const source = blobAsSource(archive);
    const { intact, findings, revisions } = await verifyArchive(source, key ? { key } : {});
    const heads = revisions.map(({ sha256, revision }) => ({
      sha256,
      number: revision.number,
      closedAt: revision.closedAt,
      title: revision.content.title || revision.content.car.description,
      outcome: revision.content.result?.outcome ?? null,
    }));
    return { intact, findings, revisions: heads };
  },
};

export type RecordWorker = typeof api;
expose(api);
