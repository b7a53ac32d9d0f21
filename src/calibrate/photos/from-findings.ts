import type { PhotoOutcome } from "../../detect/findings/findings.ts";
import type { Remark } from "./codes.ts";
import type { SheetPhoto } from "./sheet-photo.ts";

/** The sheet's view of every photo that shows it, and what the finder says about the photos. */
export const sheetPhotosOf = (
  outcomes: readonly PhotoOutcome[],
  sheetId: number,
): { readonly photos: readonly SheetPhoto[]; readonly remarks: readonly Remark[] } => {
  const remarks: Remark[] = [];
  const photos: SheetPhoto[] = [];
  for (const outcome of outcomes) {
    if (!outcome.ok) {
      remarks.push({ ...outcome.remark, severity: "warning" });
      continue;
    }
    const { name, width, height, exif, boards } = outcome.findings;
    remarks.push(...outcome.findings.remarks);
    const view = boards.find(({ id }) => id === sheetId);
    if (view) photos.push({ photo: name, width, height, exif, view });
  }
  return { photos, remarks };
};
