import {
  closePath,
  degrees,
  fill,
  grayscale,
  lineTo,
  moveTo,
  type PDFDocument,
  type PDFFont,
  type PDFPage,
  popGraphicsState,
  pushGraphicsState,
  setFillingGrayscaleColor,
} from "pdf-lib";

import type { KitWords } from "../words/kit-words.ts";
import { kitWordsEn } from "../words/kit-words-en.ts";

export interface Typeface {
  readonly regular: PDFFont;
  readonly bold: PDFFont;
}

export interface TextStyle {
  readonly sizePt?: number;
  readonly bold?: boolean;
  readonly align?: "left" | "centre" | "right";
  /** Read from below upwards, along a vertical line; x, y as for level text. */
  readonly upward?: boolean;
}

const pointsPerMm = 72 / 25.4;
const mmPerPoint = 25.4 / 72;
const black = grayscale(0);

/**
 * Draws on one PDF page in millimetres, origin at the page's centre, x right, y up; sizes of type in
 * points. One ink: DeviceGray black, so that no printer mixes it from colours.
 */
export class Pen {
  readonly widthMm: number;
  readonly heightMm: number;
  readonly #page: PDFPage;
  readonly #type: Typeface;

  /** What the kit says, in the language of this print. */
  readonly words: KitWords;

  constructor(
    pdf: PDFDocument,
    type: Typeface,
    widthMm: number,
    heightMm: number,
    words: KitWords = kitWordsEn,
  ) {
    this.words = words;
    this.widthMm = widthMm;
    this.heightMm = heightMm;
    this.#page = pdf.addPage([widthMm * pointsPerMm, heightMm * pointsPerMm]);
    this.#type = type;
  }

  /** A straight line; `dashMm` are the lengths of dashes and gaps by turns. */
  line(x0: number, y0: number, x1: number, y1: number, widthMm = 0.2, dashMm?: number[]): void {
    this.#page.drawLine({
      start: { x: this.#x(x0), y: this.#y(y0) },
      end: { x: this.#x(x1), y: this.#y(y1) },
      thickness: widthMm * pointsPerMm,
      color: black,
      dashArray: dashMm?.map((d) => d * pointsPerMm),
    });
  }

  /**
   * Fills polygons (x0 y0 x1 y1 ..) as ONE path, so that neighbours leave no hairline between them
   * when a printer or a viewer smooths the edges.
   */
  fill(polygons: Iterable<readonly number[]>): void {
    const operators = [pushGraphicsState(), setFillingGrayscaleColor(0)];
    for (const p of polygons) {
      for (let i = 0; i < p.length; i += 2) {
        const place = i === 0 ? moveTo : lineTo;
        operators.push(place(this.#x(p[i]), this.#y(p[i + 1])));
      }
      operators.push(closePath());
    }
    operators.push(fill(), popGraphicsState());
    this.#page.pushOperators(...operators);
  }

  /** An outline without filling: open unless the last point repeats the first. */
  polyline(points: readonly number[], widthMm = 0.2): void {
    for (let i = 0; i + 3 < points.length; i += 2)
      this.line(points[i], points[i + 1], points[i + 2], points[i + 3], widthMm);
  }

  /** One line of text with its base line at y. */
  text(words: string, x: number, y: number, style: TextStyle = {}): void {
    const size = style.sizePt ?? 9;
    const font = style.bold ? this.#type.bold : this.#type.regular;
    const width = font.widthOfTextAtSize(words, size) * mmPerPoint;
    const shift = { left: 0, centre: -width / 2, right: -width }[style.align ?? "left"];
    const [dx, dy, turn] = style.upward ? [0, shift, 90] : [shift, 0, 0];
    this.#page.drawText(words, {
      x: this.#x(x + dx),
      y: this.#y(y + dy),
      rotate: degrees(turn),
      size,
      font,
      color: black,
    });
  }

  /** Width of one line of text, mm. */
  textWidth(words: string, style: TextStyle = {}): number {
    const font = style.bold ? this.#type.bold : this.#type.regular;
    return font.widthOfTextAtSize(words, style.sizePt ?? 9) * mmPerPoint;
  }

  /** Text broken into lines of at most `widthMm`; returns the base line of the line after. */
  paragraph(words: string, x: number, y: number, widthMm: number, style: TextStyle = {}): number {
    const leading = (style.sizePt ?? 9) * 1.35 * mmPerPoint;
    let line = "";
    for (const word of keepUnits(words).split(" ")) {
      const longer = line ? `${line} ${word}` : word;
      if (line && this.textWidth(longer, style) > widthMm) {
        this.text(line, x, y, style);
        y -= leading;
        line = word;
      } else line = longer;
    }
    this.text(line, x, y, style);
    return y - leading;
  }

  #x(mm: number): number {
    return (mm + this.widthMm / 2) * pointsPerMm;
  }

  #y(mm: number): number {
    return (mm + this.heightMm / 2) * pointsPerMm;
  }
}

/** No line break between a number and its unit. */
const keepUnits = (words: string): string => words.replace(/(\d) (mm|m|%|g\b)/g, "$1\u00a0$2");
