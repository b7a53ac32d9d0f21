import {
  cornerAsShown,
  type FrameCorner,
  missingCorners,
  quarterTurns,
} from "../../calibrate/guidance/coverage.ts";
import { fewestFeatures } from "../../calibrate/guidance/photo-set.ts";
import { type PhotoFindings, sheetId } from "../../detect/findings/findings.ts";
import { activePhotos, type JobState } from "../state/job-state.ts";

/** What can be said about sheet photos while some of them are still being examined. */
export interface SheetSoFar {
  readonly count: number;
  readonly examined: number;
  /** Photos that show enough of the sheet. */
  readonly found: number;
  /** Corners of the picture, as the phone shows it, where the sheet was not seen yet. */
  readonly missingCorners: readonly FrameCorner[];
  /** Photos that will be needed in any case, even if all that wait turn out well. */
  readonly needed: number;
}

/** Known from the photos that are examined, without asking the engine. `atLeast`: photos in all. */
export function sheetSoFar(
  state: Pick<JobState, "photos" | "outcomes">,
  atLeast: number,
): SheetSoFar {
  const photos = activePhotos(state, "sheet");
  const examined = photos.flatMap((photo) => state.outcomes.get(photo.id)?.outcome ?? []);
  const views = examined.flatMap((outcome) => (outcome.ok ? viewOf(outcome.findings) : []));
  const turns = quarterTurns(views);
  return {
    count: photos.length,
    examined: examined.length,
    found: views.length,
    missingCorners: missingCorners(views).map((corner) => cornerAsShown(corner, turns)),
    needed: Math.max(0, atLeast - views.length - (photos.length - examined.length)),
  };
}

function viewOf({ width, height, exif, boards }: PhotoFindings) {
  const pixels = boards.find((board) => board.id === sheetId)?.pixels ?? [];
  return pixels.length / 2 < fewestFeatures ? [] : [{ width, height, exif, pixels }];
}
