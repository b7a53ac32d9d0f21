import type { RemarkCode } from "../../job/remark-codes.ts";
import { boardsTexts } from "./es/boards.ts";
import { cameraTexts } from "./es/camera.ts";
import { carTexts } from "./es/car.ts";
import { closedRecordTexts } from "./es/closed-record.ts";
import { exampleEs } from "./es/examples.ts";
import { formsTexts } from "./es/forms.ts";
import { frameTexts } from "./es/frame.ts";
import { hintsEs } from "./es/hints.ts";
import { jobsTexts } from "./es/jobs.ts";
import { photosTexts } from "./es/photos.ts";
import { placementTexts } from "./es/placement.ts";
import { recordTexts } from "./es/record.ts";
import { bayRemarks } from "./es/remarks-bay.ts";
import { photoRemarks } from "./es/remarks-photos.ts";
import { sheetRemarks } from "./es/remarks-sheet.ts";
import { saidEs } from "./es/sentences.ts";
import type { RemarkPair, Texts } from "./translate.ts";

/** Todos los textos de la aplicación, en español, por etapa. */
export const es: Texts = {
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
};

/** Las observaciones del motor, por código; el compilador rechaza que falte una. */
export const remarksEs = {
  ...photoRemarks,
  ...bayRemarks,
  ...sheetRemarks,
} as const satisfies Readonly<Record<RemarkCode, RemarkPair>>;

export const spanishSentences = {
  remarks: remarksEs,
  said: saidEs,
  hints: hintsEs,
  example: exampleEs,
};
