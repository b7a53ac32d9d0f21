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
  "sideways",
  "wheelPlate",
  "standBoard",
  "cameraSheet",
  "referencePoint",
  "plumbPoint",
  "bearing",
  "diagonal",
  "guardBand",
  "standardDeviation",
  "profile",
  "revision",
] as const;
export type Term = (typeof terms)[number];

export interface Piece {
  readonly text: string;
  /** Set where the piece is a word that is explained. */
  readonly term?: Term;
}

/**
 * A text in pieces, with the first place of every term marked; longer terms go before shorter ones.
 * `nameOf`: how a term is called in the text's language.
 */
export function piecesOf(text: string, nameOf: (term: Term) => string): Piece[] {
  const known = terms
    .map((term) => ({ term, name: nameOf(term) }))
    .sort((a, b) => b.name.length - a.name.length);
  const found: { readonly at: number; readonly end: number; readonly term: Term }[] = [];
  for (const { term, name } of known) {
    const match = wordsOf(name).exec(text);
    const at = match?.index ?? -1;
    const end = at + (match?.[0].length ?? 0);
    if (match && !found.some((other) => at < other.end && end > other.at)) {
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

const patterns = new Map<string, RegExp>();

/** Finds a name as whole words, each in singular or plural: "wheel plates", "placas de rueda". */
function wordsOf(name: string): RegExp {
  const known = patterns.get(name);
  if (known) {
    return known;
  }
  const words = name.split(/\s+/).map((word) => word.replace(/[.*+?^${}()|[\]\\]/g, "\\$&"));
  const pattern = new RegExp(`(?<!\\p{L})${words.join("(?:e?s)?\\s+")}(?:e?s)?(?!\\p{L})`, "iu");
  patterns.set(name, pattern);
  return pattern;
}
