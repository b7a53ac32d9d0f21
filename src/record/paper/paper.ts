/**
 * A document for paper as data: words and drawings that somebody else has already put into the
 * reader's language and units. It crosses a worker border, so it holds plain data only. Lengths on
 * paper are millimetres, x to the right and y down; sizes of type are points.
 */

/** How a line is drawn, in the words of technical drawings. */
export type Stroke =
  | "thick"
  | "thin"
  | "centre"
  | "phantom"
  | "required"
  | "measured"
  | "limit"
  | "interval"
  | "hatch";

export interface SketchText {
  readonly kind: "text";
  readonly x: number;
  /** Base line. */
  readonly y: number;
  readonly words: string;
  readonly sizePt: number;
  readonly anchor: "start" | "middle" | "end";
  readonly bold?: boolean;
  readonly accent?: boolean;
}

export type SketchItem =
  | {
      readonly kind: "line";
      /** x0 y0 x1 y1 .. */
      readonly points: readonly number[];
      readonly stroke: Stroke;
      readonly closed?: boolean;
    }
  | {
      readonly kind: "shape";
      readonly points: readonly number[];
      readonly fill: "wash" | "white" | "ink" | "accent";
    }
  | {
      readonly kind: "ellipse";
      readonly x: number;
      readonly y: number;
      readonly rx: number;
      readonly ry: number;
      /** Clockwise as seen on paper, degrees. */
      readonly turnDeg: number;
      readonly stroke: Stroke;
      readonly fill?: "accent";
    }
  | SketchText;

/** A vector drawing. */
export interface Sketch {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly items: readonly SketchItem[];
  /** What it shows, in words, for those who cannot see it. */
  readonly alt: string;
}

export type StampStyle = "meets" | "misses" | "not proven";

export interface CheckRow {
  readonly name: string;
  readonly value: string;
  readonly small: string;
  readonly line: Sketch;
  readonly stamp: { readonly word: string; readonly style: StampStyle };
}

export interface PaperPhoto {
  readonly name: string;
  readonly lines: readonly string[];
  /** Which of the pictures handed over with the document; null where there is none to show. */
  readonly picture: string | null;
  /** Outlines in shares of width and height of the picture: x0 y0 .. x3 y3, with a word beside. */
  readonly outlines: readonly { readonly corners: readonly number[]; readonly word: string }[];
}

export type Block =
  | {
      readonly kind: "head";
      readonly title: string;
      readonly subtitle: string;
      readonly stamp: { readonly word: string; readonly style: StampStyle } | null;
    }
  | { readonly kind: "heading"; readonly level: 1 | 2; readonly words: string }
  | {
      readonly kind: "text";
      readonly words: string;
      readonly small?: boolean;
      readonly bold?: boolean;
    }
  | { readonly kind: "notice"; readonly title: string; readonly lines: readonly string[] }
  | { readonly kind: "list"; readonly items: readonly string[]; readonly small?: boolean }
  | {
      readonly kind: "facts";
      readonly columns: 1 | 2 | 3;
      readonly items: readonly (readonly [name: string, value: string])[];
    }
  | {
      readonly kind: "table";
      readonly head: readonly string[];
      readonly rows: readonly (readonly string[])[];
      /** Shares of the width. */
      readonly widths: readonly number[];
      /** Columns of numbers are set to the right. */
      readonly right?: readonly number[];
    }
  | { readonly kind: "checks"; readonly rows: readonly CheckRow[] }
  | {
      readonly kind: "drawings";
      /** Side by side. */
      readonly sketches: readonly { readonly caption: string; readonly sketch: Sketch }[];
      /** What follows has to stay on the same page and takes this much, mm: drawn smaller if need be. */
      readonly keepMm?: number;
    }
  | { readonly kind: "photos"; readonly photos: readonly PaperPhoto[] }
  | { readonly kind: "signatures"; readonly labels: readonly string[] }
  | { readonly kind: "page break" };

export type PaperSize = "a4" | "letter";

export interface PaperDocument {
  readonly size: PaperSize;
  readonly language: string;
  readonly title: string;
  readonly subject: string;
  readonly author: string;
  /** ISO 8601, so that the same record gives the same file. */
  readonly date: string;
  /** Foot of every page; `{page}` and `{pages}` are filled in. */
  readonly foot: { readonly left: string; readonly right: string };
  readonly blocks: readonly Block[];
  /** Said at the end where the typeface lacked letters and a sign stands for them. */
  readonly strangerNote?: string;
}

/** Width between the margins, mm: what a sketch has to fit into. */
export const textWidthMm = { a4: 180, letter: 185.9 } as const satisfies Record<PaperSize, number>;
