/** The pages on building in every language of the kit. */
import type { PrintLanguage } from "../words/kit-words.ts";
import type { BuildingWords } from "./words.ts";
import { buildingEn } from "./words-en.ts";
import { buildingEs } from "./words-es.ts";

export const buildingWords: Readonly<Record<PrintLanguage, BuildingWords>> = {
  en: buildingEn,
  es: buildingEs,
};
