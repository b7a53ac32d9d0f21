import type { Change, Revision } from "../../record/revision.ts";
import { fieldWords, wordFor } from "../i18n/speech.ts";
import type { PaperWords } from "./paper-words.ts";

/** "car, plate": a place in the record in words, as far as the app has words for it. */
const placeWords = (path: string, { t }: Pick<PaperWords, "t">): string =>
  path
    .split("/")
    .slice(1)
    .map((part) => {
      const field = fieldWords(part, t);
      return field === part ? wordFor(part, t) : field;
    })
    .join(", ");

export function changeWords({ path, how, was, is }: Change, words: Pick<PaperWords, "t">): string {
  const what = placeWords(path, words);
  const shown = (value: string | undefined) => (value === undefined || value === "" ? "–" : value);
  const key = { changed: "changeLine", added: "changeAdded", removed: "changeRemoved" } as const;
  return words.t(`record.${key[how]}`, { what, was: shown(was), is: shown(is) });
}

/** The changes of a revision, at most `most` of them and how many more there are. */
export function changeLines(
  { changes }: Pick<Revision, "changes">,
  words: Pick<PaperWords, "t">,
  most: number,
): string[] {
  const lines = changes.slice(0, most).map((change) => changeWords(change, words));
  const more = changes.length - most;
  return more > 0 ? [...lines, words.t("record.changesMore", { count: more })] : lines;
}
