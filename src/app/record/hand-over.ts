import type { SealedRevision } from "../../record/close-revision.ts";
import { csvOf } from "../../record/csv.ts";
import type { Sha256 } from "../../record/sha256.ts";
import type { AppContextValue } from "../context/app-context.ts";
import { saveFile } from "../library/save-file.ts";
import { paperOfRevision } from "../paper/paper-of-revision.ts";
import { thumbs } from "../photos/thumbs.ts";
import { listPhotos, photoBytes } from "../store/photos.ts";
import type { RevisionEntry } from "../store/revision-entry.ts";
import { attachmentBytes, loadRevision, loadSignature } from "../store/revisions.ts";
import { recordTasks } from "./record-tasks.ts";

/** Longest side of the pictures in a PDF, px: 58 mm wide at 300 dots an inch. */
const pictureSide = 680;

async function whole(entry: RevisionEntry): Promise<SealedRevision> {
  const sealed = await loadRevision(entry.sha256);
  if (!sealed) {
    throw new Error(`Revision ${entry.number} cannot be read.`);
  }
  return sealed;
}

const nameOf = ({ closedAt, plate, title, vehicle, number }: RevisionEntry): string =>
  [closedAt.slice(0, 10), plate || title || vehicle || "record", `r${number}`]
    .join(" ")
    .replace(/[^\p{L}\p{N}.-]+/gu, "-")
    .slice(0, 80);

async function smallPicture(photoId: string): Promise<Blob | null> {
  const blob = await photoBytes(photoId);
  return blob && thumbs().thumb(blob, pictureSide);
}

/** A closed revision as a PDF, made in a worker from what was closed. */
export async function pdfOfRevision(entry: RevisionEntry, app: AppContextValue): Promise<File> {
  const sealed = await whole(entry);
  const language = app.locale.slice(0, 2);
  const paper = paperOfRevision(sealed, app.settings.paper, language, app);
  const wanted = new Set(
    paper.blocks.flatMap((block) =>
      block.kind === "photos" ? block.photos.map(({ picture }) => picture) : [],
    ),
  );
  // The sharp small pictures of the photo stage serve here, too.
  const stored = new Map(
    (await listPhotos(entry.jobId)).map(({ id, thumb, preview }) => [id, preview ? null : thumb]),
  );
  const pictures = new Map<string, Blob>();
  for (const { id, sha256 } of entry.photos.filter((photo) => wanted.has(photo.sha256))) {
    const small = stored.get(id) ?? (await smallPicture(id));
    if (small) {
      pictures.set(sha256, small);
    }
  }
  const blob = await recordTasks().pdf(paper, pictures);
  return new File([blob], `${nameOf(entry)}.pdf`, { type: "application/pdf" });
}

/** All revisions of a record with everything they rest on: any Plumbshot verifies and opens it. */
export async function recordArchive(entries: readonly RevisionEntry[]): Promise<File> {
  const revisions: SealedRevision[] = [];
  const signatures = new Map<Sha256, string>();
  const objects = new Map<Sha256, Blob>();
  for (const entry of entries) {
    revisions.push(await whole(entry));
    const signature = await loadSignature(entry.sha256);
    if (signature) {
      signatures.set(entry.sha256, signature);
    }
    for (const { id, sha256 } of entry.photos) {
      addObject(objects, sha256, await photoBytes(id));
    }
    for (const { id, sha256 } of entry.attachments) {
      addObject(objects, sha256, await attachmentBytes(id));
    }
  }
  const blob = await recordTasks().archive(revisions, signatures, objects);
  const name = `${nameOf(entries[entries.length - 1])}-record.zip`;
  return new File([blob], name, { type: "application/zip" });
}

function addObject(objects: Map<Sha256, Blob>, sha256: Sha256, blob: Blob | null): void {
  if (!blob) {
    throw new Error("A photo or file of the record cannot be read any more.");
  }
  objects.set(sha256, blob);
}

/** Lines for the shop's books; spreadsheets with a decimal comma want semicolons. */
export async function csvOfRevisions(
  entries: readonly RevisionEntry[],
  locale: string,
): Promise<File> {
  const revisions = [];
  for (const entry of entries) {
    revisions.push(await whole(entry));
  }
  const comma = new Intl.NumberFormat(locale).format(1.5).includes(",");
  const style = comma
    ? ({ separator: ";", decimal: "," } as const)
    : ({ separator: ",", decimal: "." } as const);
  // The mark at the front tells spreadsheets that the text is UTF-8.
  const text = `\ufeff${csvOf(revisions, style)}`;
  const name = `${nameOf(entries[entries.length - 1])}.csv`;
  return new File([text], name, { type: "text/csv" });
}

/** Hands a file to the phone's share sheet where there is one for files, else saves it. */
export async function hand(file: File): Promise<void> {
  const coarse = window.matchMedia("(pointer: coarse)").matches;
  if (coarse && navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file], title: file.name });
      return;
    } catch (error) {
      if (error instanceof DOMException && error.name === "AbortError") {
        return;
      }
      // Sharing was refused, for instance because making the file took too long: it is saved.
    }
  }
  saveFile(file.name, file, file.type);
}
