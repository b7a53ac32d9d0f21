import { acceptanceTexts } from "./acceptance.ts";
import { boardsTexts } from "./boards.ts";
import { cameraTexts } from "./camera.ts";
import { carTexts } from "./car.ts";
import { closedRecordTexts } from "./closed-record.ts";
import { formsTexts } from "./forms.ts";
import { frameTexts } from "./frame.ts";
import { glossaryTexts } from "./glossary.ts";
import { handsTexts } from "./hands.ts";
import { jobsTexts } from "./jobs.ts";
import { keepingTexts } from "./keeping.ts";
import { liveTexts } from "./live.ts";
import { photosTexts } from "./photos.ts";
import { placementTexts } from "./placement.ts";
import { recordTexts } from "./record.ts";
import { sheetTexts } from "./sheet.ts";
import { shopTexts } from "./shop.ts";
import { storeTexts } from "./store.ts";
import { targetTexts } from "./target.ts";
import { verdictTexts } from "./verdict.ts";

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
  ...liveTexts,
  ...placementTexts,
  ...keepingTexts,
  ...recordTexts,
  ...closedRecordTexts,
  ...formsTexts,
  ...glossaryTexts,
  ...handsTexts,
  ...sheetTexts,
  ...shopTexts,
  ...storeTexts,
  ...targetTexts,
  ...verdictTexts,
  ...acceptanceTexts,
} as const;
