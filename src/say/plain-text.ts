/**
 * Names and texts that somebody brought may hold characters that nobody sees but that change what is
 * seen: control characters move a terminal's cursor, direction marks turn the text around them
 * (Unicode Standard Annex 9, 2.1 to 2.4 and 2.6). They are shown as what they are.
 */

const isUnseen = (code: number): boolean =>
  code < 0x20 ||
  (code >= 0x7f && code <= 0x9f) ||
  code === 0x061c ||
  code === 0x200e ||
  code === 0x200f ||
  (code >= 0x2028 && code <= 0x202e) ||
  (code >= 0x2066 && code <= 0x2069) ||
  code === 0xfeff;

const newLine = 0x0a;

const named = (code: number): string => `<U+${code.toString(16).toUpperCase().padStart(4, "0")}>`;

const escaped = (code: number): string => `\\u${code.toString(16).padStart(4, "0")}`;

function replaced(
  text: string,
  isMeant: (code: number) => boolean,
  by: (code: number) => string,
): string {
  let out = "";
  let from = 0;
  for (let at = 0; at < text.length; at++) {
    const code = text.charCodeAt(at);
    if (isMeant(code)) {
      out += text.slice(from, at) + by(code);
      from = at + 1;
    }
  }
  return from === 0 ? text : out + text.slice(from);
}

/** A name in one line, every unseen character shown by its number: `<U+202E>`. */
export const plainName = (name: string): string => replaced(name, isUnseen, named);

/** A text of several lines, unseen characters other than line ends shown by their number. */
export const plainText = (text: string): string =>
  replaced(text, (code) => code !== newLine && isUnseen(code), named);

/** JSON text with unseen characters escaped: the same values, and safe on a terminal. */
export const plainJson = (json: string): string =>
  replaced(json, (code) => code !== newLine && isUnseen(code), escaped);
