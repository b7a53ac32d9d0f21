import type { AcceptanceCode } from "../../../acceptance/result/codes.ts";
import type { RemarkCode } from "../../../job/result/remark-codes.ts";
import type { RemarkPair, Texts } from "../en/text-types.ts";
import { acceptanceTexts } from "./acceptance.ts";
import { boardsTexts } from "./boards.ts";
import { cameraTexts } from "./camera.ts";
import { carTexts } from "./car.ts";
import { closedRecordTexts } from "./closed-record.ts";
import { exampleEs } from "./engine/examples.ts";
import { hintsEs } from "./engine/hints.ts";
import { acceptanceRemarksEs } from "./engine/remarks-acceptance.ts";
import { bayRemarks } from "./engine/remarks-bay.ts";
import { photoRemarks } from "./engine/remarks-photos.ts";
import { sheetRemarks } from "./engine/remarks-sheet.ts";
import { saidEs } from "./engine/sentences.ts";
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

/** Todos los textos de la aplicación, en español, por etapa. */
export const es: Texts = {
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
};

/** Las observaciones del motor, por código; el compilador rechaza que falte una. */
export const remarksEs = {
  ...photoRemarks,
  ...bayRemarks,
  ...sheetRemarks,
  ...acceptanceRemarksEs,
} as const satisfies Readonly<Record<RemarkCode | AcceptanceCode, RemarkPair>>;

export const spanishSentences = {
  remarks: remarksEs,
  said: saidEs,
  hints: hintsEs,
  example: exampleEs,
};
