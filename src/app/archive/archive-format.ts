import { type PhotoRecord, photoPurposeSchema } from "../store/database/schema.ts";

/**
 * The whole job in one .zip: `record.json` (this app's record), `photos.json` (where each photo
 * belongs), and a job folder that the command line reads as it is (job.json, camera/, photos/).
 * Findings and results are not stored: whoever opens the file computes them again. Only the results
 * of steps that were left go along in `steps.json`, because they are records of their moment.
 */
export const recordName = "record.json";
export const photosName = "photos.json";
export const stepsName = "steps.json";
/** Lenses of the other phones that worked on the job. */
export const phonesName = "phones.json";
export const profileName = "camera/profile.json";

const folders = { sheet: "camera", boards: "photos", target: "target", note: "notes" } as const;

export const folderOf = (photo: Pick<PhotoRecord, "purpose">): string => folders[photo.purpose];

/** Folder and name of a photo in the archive; null for anything else. */
export function photoPath(path: string): { purpose: PhotoRecord["purpose"]; name: string } | null {
  const match = /^(camera|photos|target|notes)\/([^/]+)$/.exec(path);
  const purpose = photoPurposeSchema.options.find((option) => folders[option] === match?.[1]);
  return match && purpose && !path.endsWith(".json") ? { purpose, name: match[2] } : null;
}
