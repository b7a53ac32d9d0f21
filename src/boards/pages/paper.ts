/**
 * Paper sizes and where things stand on a printed page. Millimetres; origin at the page's centre,
 * x right, y up: on a board page this is the board frame times the cell size.
 */
import { boardCells, marginCells } from "../pattern.ts";

export type PaperName = "A4" | "Letter" | "A3" | "Tabloid";

export interface Paper {
  readonly name: PaperName;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Cell side of the boards on this paper: the largest round one whose margin still fits. */
  readonly cellMm: number;
  /** What the check bars are a multiple of, so that a rule of the place reads them: mm or inches. */
  readonly barUnit: "mm" | "inch";
}

/** A sizes: ISO 216. Letter 8.5 x 11 in and Tabloid 11 x 17 in: ANSI/ASME Y14.1. */
export const papers: Readonly<Record<PaperName, Paper>> = {
  A4: { name: "A4", widthMm: 210, heightMm: 297, cellMm: 13, barUnit: "mm" },
  Letter: { name: "Letter", widthMm: 215.9, heightMm: 279.4, cellMm: 13, barUnit: "inch" },
  A3: { name: "A3", widthMm: 297, heightMm: 420, cellMm: 18, barUnit: "mm" },
  Tabloid: { name: "Tabloid", widthMm: 279.4, heightMm: 431.8, cellMm: 17, barUnit: "inch" },
};

/** Printers leave a rim of 3 to 6.4 mm blank; nothing is printed closer to the paper's edge. */
export const printableRimMm = 6.5;

export interface CheckBar {
  /** Distance between the middles of the two end ticks, mm: a multiple of 10, or of half an inch. */
  readonly lengthMm: number;
  /** Where the bar stands: y of a horizontal one, x of a vertical one. */
  readonly atMm: number;
  /** Half the height of the end ticks. */
  readonly tickMm: number;
}

export interface PageLayout {
  readonly horizontal: CheckBar;
  readonly vertical: CheckBar;
}

const tickMm = 2.5;
const mmPerInch = 25.4;
const steps = { mm: 10, inch: mmPerInch / 2 } as const;
const rounded = ({ barUnit }: Paper, lengthMm: number): number => {
  const step = steps[barUnit];
  return Number((Math.floor(lengthMm / step) * step).toFixed(1));
};

/** "190 mm", or "7 1/2 in (190.5 mm)" where the paper is one of inches. */
export const barWords = ({ barUnit }: Paper, lengthMm: number): string => {
  const halves = Math.round((2 * lengthMm) / mmPerInch);
  const inches = `${Math.floor(halves / 2)}${halves % 2 === 1 ? " 1/2" : ""} in`;
  return barUnit === "mm" ? `${lengthMm} mm` : `${inches} (${lengthMm} mm)`;
};

/** Longest bars that the paper takes: the ticks end at the rim, the two bars do not meet. */
function longestBars(paper: Paper): { horizontalMm: number; verticalMm: number; lowMm: number } {
  const lowMm = -(paper.heightMm / 2 - printableRimMm - tickMm);
  return {
    horizontalMm: rounded(paper, paper.widthMm - 2 * printableRimMm - 1),
    verticalMm: rounded(paper, -2 * lowMm - 7),
    lowMm,
  };
}

/**
 * Check bars of a board page. There is no room for a line beside the board, so the vertical bar is
 * two ticks, above and below the board, with a stem each: the ruler lies across the board.
 */
export function boardPageLayout(paper: Paper): PageLayout {
  const { horizontalMm, verticalMm, lowMm } = longestBars(paper);
  const halfRing = (boardCells / 2) * paper.cellMm;
  return {
    horizontal: { lengthMm: horizontalMm, atMm: lowMm, tickMm },
    vertical: { lengthMm: verticalMm, atMm: Math.round(halfRing - 1.5 * paper.cellMm), tickMm },
  };
}

/** Check bars of the camera sheet's page: the vertical bar is a line at the left of the sheet. */
export function sheetPageLayout(paper: Paper): PageLayout {
  const { horizontalMm, verticalMm, lowMm } = longestBars(paper);
  return {
    horizontal: { lengthMm: horizontalMm, atMm: lowMm, tickMm },
    vertical: {
      lengthMm: verticalMm,
      atMm: -(paper.widthMm / 2 - printableRimMm - tickMm),
      tickMm,
    },
  };
}

/** Half the side of the area that stays white around the ring, mm. */
export const whiteHalfMm = (paper: Paper): number => (boardCells / 2 + marginCells) * paper.cellMm;

/** Distance of the two cut lines from the board's centre, mm: nine cells, see `pointerTip`. */
export const cutLineMm = (paper: Paper): number => (boardCells / 2 + 2) * paper.cellMm;
