import { boardsTexts } from "./en/boards.ts";
import { cameraTexts } from "./en/camera.ts";
import { carTexts } from "./en/car.ts";
import { closedRecordTexts } from "./en/closed-record.ts";
import { formsTexts } from "./en/forms.ts";
import { frameTexts } from "./en/frame.ts";
import { jobsTexts } from "./en/jobs.ts";
import { photosTexts } from "./en/photos.ts";
import { placementTexts } from "./en/placement.ts";
import { recordTexts } from "./en/record.ts";

/**
 * All texts of the app, English, by stage. `{name}` is filled in; `{count|one|many}` picks by number.
 * Other languages carry the same keys in the same files; the compiler holds them together.
 */
export const en = {
  ...frameTexts,
  ...jobsTexts,
  ...carTexts,
  ...boardsTexts,
  ...cameraTexts,
  ...photosTexts,
  ...placementTexts,
  ...recordTexts,
  ...closedRecordTexts,
  ...formsTexts,
} as const;
