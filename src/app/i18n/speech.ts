import type { Said, StoredRemark } from "../../say/remark.ts";
import { boardRole, roleName } from "./board-name.ts";
import { en } from "./en/english.ts";
import { remarkSentences, type Speech, sentence } from "./sentence.ts";
import type { Spoken, TextKey, Translate } from "./translate.ts";
import { formatNumber, formatStatedBoth, type Quantity, type Units } from "./units.ts";
import { sourceWord } from "./words.ts";

/** How the app says what the engine found. English is the engine's own. */
export interface Sayings {
  /** One sentence or several; the English text where the language has none for it. */
  say(said: Said | readonly Said[] | undefined, english: string): string;
  sayRemark(remark: StoredRemark): { readonly message: string; readonly remedy: string };
  /** A schema's description of a field; undefined where the language has none. */
  sayHint(english: string): string | undefined;
  /** A free text of the example sheets. */
  sayExample(english: string): string;
}

const has = (key: string): key is TextKey => key in en;

/** A word of the engine or of a schema in the chosen language; unknown words stay as they are. */
export function wordFor(word: string, t: Translate): string {
  const key = `word.${word}`;
  return has(key) ? t(key) : sourceWord(word, t);
}

/** "steps[0].checks[2].required" in words: "Step 1, Check 3, Required". */
export const fieldWords = (path: string, t: Translate): string =>
  path
    .split(".")
    .map((part) => {
      const [, name, index] = /^(.*?)(?:\[(\d+)\])?$/.exec(part) ?? [];
      const one = `one.${name}`;
      const key = index !== undefined && has(one) ? one : `field.${name}`;
      const words = has(key) ? t(key) : name;
      return index === undefined ? words : `${words} ${Number(index) + 1}`;
    })
    .join(", ");

/** A place in a file's list, and what lies in it. */
const place = /\b[a-z]\w*\[\d+\](?:\.\w+(?:\[\d+\])?)*/gi;

/** The engine's own sentence about a form, with places in the file as the form calls them. */
function withFieldInWords(remark: StoredRemark, t: Translate): StoredRemark {
  const list = /^(\w+)\[\d+\]/.exec(remark.about ?? "")?.[1];
  return list !== undefined && has(`field.${list}`)
    ? { ...remark, message: remark.message.replace(place, (path) => fieldWords(path, t)) }
    : remark;
}

export function sayingsIn(
  { sentences }: Spoken,
  t: Translate,
  locale: string,
  units: Units,
  show: (value: number, quantity: Quantity, decimals: number) => string,
): Sayings {
  const speech: Speech = {
    texts: sentences,
    locale,
    show,
    stated: (value, quantity) => formatStatedBoth(value, quantity, units, locale),
    typed: units.length === "mm" ? "mm" : "in",
    number: (value, decimals) => formatNumber(value, decimals, locale),
    word: (word) => wordFor(word, t),
    field: (path) => fieldWords(path, t),
    board: (id, given) => {
      const role = given === undefined ? boardRole(id, t) : roleName(given, t);
      return role ? `${id} (${role.toLocaleLowerCase(locale)})` : String(id);
    },
  };
  return {
    say: (said, english) => {
      const list = said === undefined ? [] : "code" in said ? [said] : said;
      const words = list.map((item) => sentence(item, speech));
      return words.length === 0 || words.includes(null) ? english : words.join(" ");
    },
    sayRemark: (remark) => remarkSentences(remark, speech) ?? withFieldInWords(remark, t),
    sayHint: (english) => (sentences.hints ? sentences.hints[english] : english),
    sayExample: (english) => sentences.example?.(english) ?? english,
  };
}
