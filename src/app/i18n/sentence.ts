import type { Said, SaidValue, SaidValues, StoredRemark } from "../../say/remark.ts";
import type { SentenceTexts } from "./translate.ts";
import type { Quantity } from "./units.ts";

/**
 * Engine sentences in another language. Their gaps say how a value is shown:
 *
 *   {x}              as it is; numbers by locale        {x:n1}   number with decimals
 *   {x:mm1} {x:deg2} length, angle with unit            {x:pct0} share of 1 in percent
 *   {x:amount}       length or angle, as `unit` says    {x:fine} the same, one digit more
 *   {x:stated}       a number that a person stated, as `unit` says: never rounded, and with the
 *                    unit of files behind it where another one is chosen
 *   {x:board}        id with the board's role           {x:word} engine word, translated
 *   {x:path}         field of a file, in words          {x:said} further engine sentences
 *   {x|one|many}     by number                          {x?a=..|b=..|*=..} by value
 *
 * Lists are joined as the language does it. `{typed?mm=..|in=..}` goes by the chosen unit of lengths.
 */
export interface Speech {
  readonly texts: SentenceTexts;
  readonly locale: string;
  show(value: number, quantity: Quantity, decimals: number): string;
  stated(value: number, quantity: Quantity): string;
  /** The unit in which lengths are typed. */
  readonly typed: "mm" | "in";
  number(value: number, decimals: number): string;
  /** A word that the engine uses, for instance a kind of check or a source of uncertainty. */
  word(word: string): string;
  /** The board with its role: the given one, else the kit's. */
  board(id: number, role?: string): string;
  field(path: string): string;
}

/** Null where the language has no such sentence or a value is missing: the English one is shown. */
export function sentence(said: Said, speech: Speech): string | null {
  const text = speech.texts.said[said.code] ?? speech.texts.remarks[said.code]?.[0];
  return text === undefined ? null : fillSentence(text, said.values ?? {}, speech);
}

/** What is wrong and what to do; null as with {@link sentence}. */
export function remarkSentences(
  remark: StoredRemark,
  speech: Speech,
): { readonly message: string; readonly remedy: string } | null {
  const pair = speech.texts.remarks[remark.code];
  if (!pair) {
    return null;
  }
  const values = { about: remark.about ?? "", typed: speech.typed, ...remark.values };
  const [message, remedy] = pair.map((text) => fillSentence(text, values, speech));
  return message === null || remedy === null ? null : { message, remedy };
}

/** Fills one text; null where a value is missing. Capital letter first, but never in a name. */
export function fillSentence(text: string, values: SaidValues, speech: Speech): string | null {
  const filled = fillParts(text, values, speech);
  if (filled === null) {
    return null;
  }
  const tidy = filled
    .replace(/ {2,}/g, " ")
    .replace(/ +([.,;:])/g, "$1")
    .trim();
  return /^\{\w+\}/.test(text) ? tidy : tidy.charAt(0).toUpperCase() + tidy.slice(1);
}

function fillParts(text: string, values: SaidValues, speech: Speech): string | null {
  let complete = true;
  const filled = gaps(text).map((part) => {
    if (typeof part === "string") {
      return part;
    }
    const words = fillGap(part.gap, values, speech);
    complete &&= words !== null;
    return words ?? "";
  });
  return complete ? filled.join("") : null;
}

/** Text and gaps in turn; a gap may hold further gaps in its choices. */
function gaps(text: string): (string | { readonly gap: string })[] {
  const parts: (string | { gap: string })[] = [];
  let from = 0;
  let depth = 0;
  for (let at = 0; at < text.length; at++) {
    if (text[at] === "{" && depth++ === 0) {
      parts.push(text.slice(from, at));
      from = at + 1;
    } else if (text[at] === "}" && --depth === 0) {
      parts.push({ gap: text.slice(from, at) });
      from = at + 1;
    }
  }
  return [...parts, text.slice(from)];
}

function fillGap(gap: string, values: SaidValues, speech: Speech): string | null {
  const name = /^\w+/.exec(gap)?.[0] ?? "";
  const value = values[name];
  if (value === undefined) {
    return null;
  }
  const rest = gap.slice(name.length);
  if (rest.startsWith("?")) {
    const choice = chosen(split(rest.slice(1)), Array.isArray(value) ? value.join() : `${value}`);
    return choice === null ? null : fillParts(choice, values, speech);
  }
  if (rest.startsWith("|")) {
    const [one, many] = split(rest.slice(1));
    return fillParts(Number(value) === 1 ? one : many, values, speech);
  }
  return listed(value, rest.slice(1), values, speech);
}

/** Splits at the bars that are not inside a further gap. */
function split(text: string): string[] {
  const pieces = [""];
  let depth = 0;
  for (const letter of text) {
    depth += letter === "{" ? 1 : letter === "}" ? -1 : 0;
    if (letter === "|" && depth === 0) {
      pieces.push("");
    } else {
      pieces[pieces.length - 1] += letter;
    }
  }
  return pieces;
}

function chosen(choices: readonly string[], value: string): string | null {
  const find = (key: string) => choices.find((choice) => choice.startsWith(`${key}=`));
  const found = find(value) ?? find("*") ?? find("");
  return found === undefined ? null : found.slice(found.indexOf("=") + 1);
}

function listed(
  value: SaidValue,
  format: string,
  values: SaidValues,
  speech: Speech,
): string | null {
  if (!Array.isArray(value)) {
    return shown(value as string | number, format, values, speech);
  }
  const items = (value as readonly (string | number | Said)[]).map((item) =>
    typeof item === "object" ? nested(item, speech) : shown(item, format, values, speech),
  );
  if (items.some((item) => item === null)) {
    return null;
  }
  const words = items as string[];
  return format === "said" && words.every((item) => item.endsWith("."))
    ? words.join(" ")
    : new Intl.ListFormat(speech.locale).format(words);
}

/** A sentence inside another: without a capital where it is only a part of one. */
function nested(said: Said, speech: Speech): string | null {
  const text = speech.texts.said[said.code];
  if (text === undefined) {
    return sentence(said, speech);
  }
  return fillParts(text, said.values ?? {}, speech);
}

function shown(
  value: string | number,
  format: string,
  values: SaidValues,
  speech: Speech,
): string | null {
  const [, kind, digits] = /^([a-z]*)(\d?)$/.exec(format) ?? [];
  const decimals = Number(digits || 0);
  const isAngle = values.unit === "deg";
  switch (kind) {
    case "":
      return typeof value === "string" ? value : speech.number(value, tidyDecimals(value));
    case "n":
      return speech.number(Number(value), decimals);
    case "pct":
      return `${speech.number(100 * Number(value), decimals)} %`;
    case "mm":
      return speech.show(Number(value), "length", decimals);
    case "deg":
      return speech.show(Number(value), "angle", decimals);
    case "amount":
      return speech.show(Number(value), isAngle ? "angle" : "length", isAngle ? 2 : 1);
    case "fine":
      return speech.show(Number(value), isAngle ? "angle" : "length", isAngle ? 3 : 2);
    case "stated":
      return speech.stated(Number(value), isAngle ? "angle" : "length");
    case "board":
      return speech.board(
        Number.parseInt(`${value}`, 10),
        typeof values.role === "string" ? values.role : undefined,
      );
    case "word":
      return speech.word(`${value}`);
    case "path":
      return speech.field(`${value}`);
    default:
      return null;
  }
}

/** No more decimals than the number has, at most three. */
const tidyDecimals = (value: number): number =>
  [0, 1, 2].find((digits) => Math.abs(value - Number(value.toFixed(digits))) < 1e-9) ?? 3;
