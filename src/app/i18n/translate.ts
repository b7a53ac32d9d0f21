import { plainName } from "../../say/plain-text.ts";
import { en } from "./en/english.ts";
import { refusalsEn } from "./en/refusals.ts";
import type { RemarkPair, TextKey, Texts } from "./en/text-types.ts";
import { measuredEn } from "./measured.ts";

export type { RemarkPair, TextKey, Texts };

export type Language = "en" | "es";
export type Parameters = Readonly<Record<string, string | number>>;
export type Translate = (key: TextKey, parameters?: Parameters) => string;

/** The engine's sentences by code; any code may be asked for, since files keep codes as text. */
export interface SentenceTexts {
  readonly remarks: Readonly<Record<string, RemarkPair | undefined>>;
  readonly said: Readonly<Record<string, string | undefined>>;
  /** Descriptions in the schemas, by their English text; none in English. */
  readonly hints?: Readonly<Record<string, string | undefined>>;
  /** Free texts of the example sheets; none in English. */
  example?(english: string): string | undefined;
}

export interface Spoken {
  readonly language: Language;
  readonly texts: Texts;
  readonly sentences: SentenceTexts;
}

const englishSentences: SentenceTexts = {
  remarks: { ...measuredEn.remarks, ...refusalsEn.remarks },
  said: { ...measuredEn.said, ...refusalsEn.said },
};

export const english: Spoken = { language: "en", texts: en, sentences: englishSentences };

/** Loads a language; English is there at once, others come as their own small file. */
export async function loadLanguage(language: Language): Promise<Spoken> {
  if (language === "en") {
    return english;
  }
  const { es, spanishSentences } = await import("./es/spanish.ts");
  return { language, texts: es, sentences: spanishSentences };
}

/** The language to use: the chosen one, or the first of the browser's that is known. */
export function pickLanguage(chosen: Language | "auto", preferred: readonly string[]): Language {
  if (chosen !== "auto") {
    return chosen;
  }
  for (const tag of preferred) {
    const language = tag.slice(0, 2).toLowerCase();
    if (language === "en" || language === "es") {
      return language;
    }
  }
  return "en";
}

/**
 * Fills `{name}` in a text; names that people gave cannot turn the words around them. `{count|one|many}` picks by number: one where it is 1, else many.
 */
export function fill(text: string, parameters: Parameters = {}): string {
  return text.replace(/\{(\w+)(?:\|([^|}]*)\|([^}]*))?\}/g, (whole, name, one, many) => {
    const value = parameters[name];
    if (value === undefined) {
      return whole;
    }
    if (one !== undefined) {
      return Number(value) === 1 ? one : many;
    }
    return plainName(String(value));
  });
}
