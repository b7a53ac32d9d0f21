import { boardsTexts } from "./es/boards.ts";
import { cameraTexts } from "./es/camera.ts";
import { carTexts } from "./es/car.ts";
import { formsTexts } from "./es/forms.ts";
import { frameTexts } from "./es/frame.ts";
import { jobsTexts } from "./es/jobs.ts";
import { photosTexts } from "./es/photos.ts";
import { placementTexts } from "./es/placement.ts";
import { recordTexts } from "./es/record.ts";
import type { Texts } from "./translate.ts";

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
  ...formsTexts,
};
