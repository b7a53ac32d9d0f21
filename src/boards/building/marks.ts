/**
 * Drawings of what a shop builds, as data: drawn by the app as SVG and by the PDF's pen alike.
 * Coordinates are millimetres on paper, x right, y down from the drawing's upper left corner; what
 * stands beside a dimension is the real size.
 */
export type LineStyle = "visible" | "thin" | "centre" | "phantom" | "asked";

export type Mark =
  | {
      readonly kind: "line";
      readonly style: LineStyle;
      /** x0 y0 x1 y1 … */
      readonly points: readonly number[];
    }
  | {
      readonly kind: "circle";
      readonly style: LineStyle;
      readonly x: number;
      readonly y: number;
      readonly radius: number;
    }
  | {
      readonly kind: "text";
      readonly x: number;
      readonly y: number;
      readonly words: string;
      readonly align: "left" | "centre" | "right";
      readonly bold?: boolean;
    };

export interface Drawing {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly marks: readonly Mark[];
}

export const line = (style: LineStyle, ...points: readonly number[]): Mark => ({
  kind: "line",
  style,
  points,
});

export const box = (style: LineStyle, x: number, y: number, width: number, height: number): Mark =>
  line(style, x, y, x + width, y, x + width, y + height, x, y + height, x, y);

export const circle = (style: LineStyle, x: number, y: number, radius: number): Mark => ({
  ...{ kind: "circle", style, x, y, radius },
});

export const text = (
  words: string,
  x: number,
  y: number,
  align: "left" | "centre" | "right" = "left",
  bold = false,
): Mark => ({ kind: "text", x, y, words, align, bold });

const tick = 1.4;

/** A dimension between two points on a level line, its number above it. */
export const across = (x0: number, x1: number, y: number, words: string): Mark[] => [
  line("thin", x0, y, x1, y),
  line("thin", x0, y - tick, x0, y + tick),
  line("thin", x1, y - tick, x1, y + tick),
  text(words, (x0 + x1) / 2, y - 1.2, "centre"),
];

/** A dimension between two points on an upright line, its number beside it. */
export const upright = (
  y0: number,
  y1: number,
  x: number,
  words: string,
  side: "left" | "right" = "right",
): Mark[] => [
  line("thin", x, y0, x, y1),
  line("thin", x - tick, y0, x + tick, y0),
  line("thin", x - tick, y1, x + tick, y1),
  text(
    words,
    x + (side === "right" ? 1.8 : -1.8),
    (y0 + y1) / 2 + 1.2,
    side === "right" ? "left" : "right",
  ),
];

/** A letter that the parts list names, with a line to what it means. */
export const leader = (letter: string, x: number, y: number, toX: number, toY: number): Mark[] => {
  const far = Math.hypot(toX - x, toY - y) || 1;
  const radius = 2.6;
  return [
    circle("thin", x, y, radius),
    text(letter, x, y + 1.15, "centre", true),
    line("thin", x + (radius * (toX - x)) / far, y + (radius * (toY - y)) / far, toX, toY),
  ];
};

/** A printed board: its edge and the dark square of its tag. */
export const board = (x: number, y: number, size: number): Mark[] => [
  box("visible", x - size / 2, y - size / 2, size, size),
  box("thin", x - size * 0.44, y - size * 0.44, size * 0.88, size * 0.88),
  box("visible", x - size * 0.25, y - size * 0.25, size * 0.5, size * 0.5),
];
