/**
 * Which files a record archive holds: every revision under its own hash, its signatures, and a job
 * folder that `npm run measure` reads as it is (job.json, camera/, photos/), with notes and attached
 * files beside it. The folder belongs to the last revision.
 */
import type { RecordedPhoto, Revision } from "../revision.ts";
import type { Sha256 } from "../sha256.ts";

export const photoFolders = {
  sheet: "camera",
  boards: "photos",
  target: "target",
  note: "notes",
} as const satisfies Record<RecordedPhoto["purpose"], string>;

export const attachmentFolder = "attached";
export const jobFileName = "job.json";
export const profileFileName = "camera/profile.json";

export const revisionFileName = (sha256: Sha256): string => `records/${sha256}.json`;
export const signatureFileName = (sha256: Sha256): string => `signatures/${sha256}.json`;

/** A photo or attached file that only an earlier revision rests on. */
export const objectFileName = (sha256: Sha256): string => `objects/${sha256}`;

/** A file that a revision rests on, by its place in the archive. */
export interface NamedObject {
  readonly file: string;
  readonly sha256: Sha256;
  readonly bytes: number;
}

export const photoFileName = ({ purpose, name }: Pick<RecordedPhoto, "purpose" | "name">): string =>
  `${photoFolders[purpose]}/${name}`;

/** A copy that goes instead of a photo: a JPEG whatever the photo was. */
export const copyFileName = (photo: Pick<RecordedPhoto, "purpose" | "name">): string =>
  `copies/${photoFileName(photo).replace(/\.[^./]*$/, "")}.jpg`;

/** Photos and attached files of a revision. */
export const objectsOf = ({ content }: Pick<Revision, "content">): NamedObject[] => [
  ...content.photos.map((photo) => ({
    file: photoFileName(photo),
    sha256: photo.sha256,
    bytes: photo.bytes,
  })),
  ...content.attachments.map(({ name, sha256, bytes }) => ({
    file: `${attachmentFolder}/${name}`,
    sha256,
    bytes,
  })),
];

const readable = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`;

/** The text files of the job folder, which say what the revision says in the job's own format. */
export function folderTexts({ content }: Pick<Revision, "content">): Map<string, string> {
  const texts = new Map([[jobFileName, readable(content.job)]]);
  const { source, profile } = content.camera;
  if (source === "saved profile" && profile) texts.set(profileFileName, readable(profile));
  return texts;
}
