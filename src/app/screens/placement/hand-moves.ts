import type { Move } from "../../../job/result/result.ts";
import type { AppContextValue } from "../../context/app-context.ts";
import { wordFor } from "../../i18n/speech.ts";
import { moveWord, quantityOf, wayOf, wayWord } from "../../i18n/words.ts";

/** One thing that hands do: what is taken hold of, how far it goes, which way. */
export interface HandLine {
  /** Foot or end of the stand, empty for the whole stand. */
  readonly what: string;
  readonly amount: string;
  readonly way: string;
}

export interface HandMove {
  readonly move: Move;
  /** "Turn", "Slide", "Height", "Level". */
  readonly kind: string;
  readonly lines: readonly HandLine[];
}

/** Digits that a hand can follow. */
const decimalsOf = (move: Move): number => (move.unit === "mm" ? 0 : 2);

/** Results of earlier programs name the feet once, at the last move, counted from the first. */
const namesOwnFeet = (move: Move): boolean =>
  (move.kind === "turn" || move.kind === "level") &&
  (move.feet?.some(({ parts }) => parts.length > 0) ?? false);

/** A move in the words of hands: millimetres of feet or ends where they are known, else its angle. */
export function handMove(move: Move, { t, show }: Pick<AppContextValue, "t" | "show">): HandMove {
  const lines = namesOwnFeet(move)
    ? (move.feet ?? []).flatMap(({ name, parts }) =>
        parts.map((part, at) => ({
          what: at === 0 ? wordFor(name, t) : "",
          amount: show(part.amountMm, "length", 0),
          way: wayWord(part.way, t),
        })),
      )
    : [
        {
          what: move.kind === "slide" ? t("moves.wholeStand") : "",
          amount: show(move.amount, quantityOf(move), decimalsOf(move)),
          way: wayWord(wayOf(move), t),
        },
      ];
  return { move, kind: moveWord(move.kind, t), lines };
}

/** The move as one sentence, to be read aloud. */
export const spokenMove = ({ kind, lines }: HandMove): string =>
  `${kind}. ${lines.map(({ what, amount, way }) => [what, amount, way].filter(Boolean).join(" ")).join(". ")}.`;
