/** The field guide in every language of the kit. */
import { buildingWords } from "../building/all-words.ts";
import type { BuildingWords, LeafletWords } from "../building/words.ts";
import type { PrintLanguage } from "../words/kit-words.ts";
import { guideEn } from "./words-en.ts";
import { guideEs } from "./words-es.ts";

const words: Readonly<Record<PrintLanguage, LeafletWords>> = { en: guideEn, es: guideEs };

/** The guide with the names that its drawings need: the same as on the pages on building. */
export const guideWords = (language: PrintLanguage): BuildingWords => {
  const { labels, partsTitle } = buildingWords[language];
  return { labels, partsTitle, ...words[language] };
};
