/** Words of the screens that are explained when they are tapped. */
export const terms = [
  "thrustLine",
  "thrustAngle",
  "centreline",
  "axleLine",
  "sure",
  "notProven",
  "tolerance",
  "offset",
  "printCheck",
  "lengthBar",
  "floorPoint",
  "pointer",
  "residual",
  "varianceFactor",
  "redundancy",
  "probability",
  "toe",
  "camber",
  "setBack",
  "wheelbase",
] as const;
export type Term = (typeof terms)[number];

export interface Piece {
  readonly text: string;
  /** Set where the piece is a word that is explained. */
  readonly term?: Term;
}

const letter = /\p{L}/u;

/**
 * A text in pieces, with the first place of every term marked; longer terms go before shorter ones.
 * `nameOf`: how a term is called in the text's language.
 */
export function piecesOf(text: string, nameOf: (term: Term) => string): Piece[] {
  const known = [...terms]
    .map((term) => ({ term, name: nameOf(term).toLowerCase() }))
    .sort((a, b) => b.name.length - a.name.length);
  const found: { readonly at: number; readonly end: number; readonly term: Term }[] = [];
  const lower = text.toLowerCase();
  for (const { term, name } of known) {
    const at = wordAt(lower, name);
    const end = at + name.length;
    if (at >= 0 && !found.some((other) => at < other.end && end > other.at)) {
      found.push({ at, end, term });
    }
  }
  found.sort((a, b) => a.at - b.at);
  const pieces: Piece[] = [];
  let from = 0;
  for (const { at, end, term } of found) {
    pieces.push({ text: text.slice(from, at) }, { text: text.slice(at, end), term });
    from = end;
  }
  return [...pieces, { text: text.slice(from) }].filter((piece) => piece.text !== "");
}

/** Where a whole word begins, with an "s" at its end or without; -1 where it does not occur. */
function wordAt(text: string, name: string): number {
  for (let at = text.indexOf(name); at >= 0; at = text.indexOf(name, at + 1)) {
    const before = text[at - 1] ?? " ";
    const after = text.slice(at + name.length).replace(/^e?s/, "")[0] ?? " ";
    if (!letter.test(before) && !letter.test(after)) {
      return at;
    }
  }
  return -1;
}
