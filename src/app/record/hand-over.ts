import { copyFileName } from "../../record/archive/record-files.ts";
import type { SealedRevision } from "../../record/close-revision.ts";
import { csvOf } from "../../record/csv.ts";
import type { Sha256 } from "../../record/sha256.ts";
import type { CopyKind } from "../../record/withheld.ts";
import type { AppContextValue } from "../context/app-context.ts";
import { copySide } from "../faces/find-faces.ts";
import { saveFile } from "../library/save-file.ts";
import { paperOfRevision } from "../paper/paper-of-revision.ts";
import type { RevisionEntry } from "../store/database/revision-entry.ts";
import { photoBytes } from "../store/photos.ts";
import { attachmentBytes, loadRevision, loadSignature } from "../store/records/revisions.ts";
import {
  copiesOf,
  type LeavingPhoto,
  type LeavingWay,
  leavingPhotos,
  smallPictures,
} from "./leaving.ts";
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

/** The photos that a revision's papers and archives may show. */
export const photosToLeave = async (entry: RevisionEntry): Promise<LeavingPhoto[]> =>
  leavingPhotos(entry, (await whole(entry)).revision);

/** A closed revision as a PDF, made in a worker from what was closed. */
export async function pdfOfRevision(
  entry: RevisionEntry,
  app: AppContextValue,
  photos: CopyKind,
): Promise<File> {
  const sealed = await whole(entry);
  const language = app.locale.slice(0, 2);
  const paper = paperOfRevision(sealed, app.settings.paper, language, app);
  const shown = leavingPhotos(entry, sealed.revision);
  const small = await smallPictures(entry.jobId, pictureSide);
  const pictures = await copiesOf(shown, photos, pictureSide, small);
  const blob = await recordTasks().pdf(paper, pictures);
  return new File([blob], `${nameOf(entry)}.pdf`, { type: "application/pdf" });
}

/**
 * All revisions of a record with what they rest on: any Plumbshot verifies it, and opens it where the
 * original photos are in it. Without them copies go along, and the archive says that they do.
 */
export async function recordArchive(
  entries: readonly RevisionEntry[],
  photos: LeavingWay,
): Promise<File> {
  const revisions: SealedRevision[] = [];
  const signatures = new Map<Sha256, string>();
  const objects = new Map<Sha256, Blob>();
  const copies = new Map<string, Blob>();
  for (const entry of entries) {
    const sealed = await whole(entry);
    revisions.push(sealed);
    const signature = await loadSignature(entry.sha256);
    if (signature) {
      signatures.set(entry.sha256, signature);
    }
    if (photos === "originals") {
      for (const { id, sha256 } of entry.photos) {
        addObject(objects, sha256, await photoBytes(id));
      }
    } else {
      const shown = leavingPhotos(entry, sealed.revision);
      const made = await copiesOf(shown, photos, copySide);
      for (const photo of shown) {
        const copy = made.get(photo.sha256);
        if (copy) {
          copies.set(copyFileName(photo), copy);
        }
      }
    }
    for (const { id, sha256 } of entry.attachments) {
      addObject(objects, sha256, await attachmentBytes(id));
    }
  }
  const instead = photos === "originals" ? null : { kind: photos, files: copies };
  const blob = await recordTasks().archive(revisions, signatures, objects, instead);
  const what = photos === "originals" ? "record" : "record-copies";
  const name = `${nameOf(entries[entries.length - 1])}-${what}.zip`;
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
