import { missingCorners } from "../../camera/coverage.ts";
import type { PhotoFindings } from "../../detection/findings.ts";
import { sheetId } from "../../detection/findings.ts";
import type { CameraAnswer } from "../../job/run.ts";
import type { Parameters, TextKey } from "../i18n/translate.ts";

/** What the next sheet photo should be, in one sentence. */
export interface CameraGuidance {
  readonly enough: boolean;
  readonly text: TextKey;
  readonly parameters: Parameters;
}

/** Photos that a lens needs at least, and slant that separates focal length from distance. */
const fewest = 8;
const slantDeg = 25;
const slantedPhotos = 3;

const cornerKeys = {
  "top left": "guide.topLeft",
  "top right": "guide.topRight",
  "bottom left": "guide.bottomLeft",
  "bottom right": "guide.bottomRight",
} as const satisfies Record<string, TextKey>;

/** Tells what is still missing: number, tilt, corners of the frame. Common practice, no source. */
export function cameraGuidance(
  photos: readonly PhotoFindings[],
  answer: CameraAnswer | undefined,
): CameraGuidance {
  const views = photos.flatMap((photo) => {
    const sheet = photo.boards.find((board) => board.id === sheetId);
    return sheet ? [{ photo, sheet }] : [];
  });
  const say = (text: TextKey, parameters: Parameters = {}, enough = false): CameraGuidance => ({
    enough,
    text,
    parameters,
  });
  if (views.length === 0) {
    return say("guide.first");
  }
  const corners = missingCorners(
    views.map(({ photo, sheet }) => ({
      width: photo.width,
      height: photo.height,
      pixels: sheet.pixels,
    })),
  );
  if (answer?.ok && views.length >= fewest && corners.length === 0) {
    return say("guide.enough", {}, true);
  }
  if (answer?.ok && views.length >= fewest) {
    return say(`${cornerKeys[corners[0]]}Better`, {}, true);
  }
  const slanted = views.filter(({ sheet }) => sheet.quality.obliquityDeg >= slantDeg).length;
  if (slanted < slantedPhotos) {
    return say("guide.slant", { count: slantedPhotos - slanted });
  }
  if (corners.length > 0) {
    return say(cornerKeys[corners[0]]);
  }
  if (views.length < fewest) {
    return say("guide.more", { count: fewest - views.length });
  }
  return answer && !answer.ok ? say("guide.failed") : say("guide.wait");
}
