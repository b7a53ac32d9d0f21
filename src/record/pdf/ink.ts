/** Draws lines, shapes, words and pictures on one page, in millimetres from its top left corner. */
import {
  type Color,
  clip,
  closePath,
  concatTransformationMatrix,
  endPath,
  fill,
  fillAndStroke,
  lineTo,
  moveTo,
  type PDFFont,
  type PDFImage,
  PDFOperator,
  PDFOperatorNames,
  type PDFPage,
  popGraphicsState,
  pushGraphicsState,
  rgb,
  setDashPattern,
  setFillingColor,
  setLineCap,
  setLineWidth,
  setStrokingColor,
  stroke as strokePath,
} from "pdf-lib";
import type { Sketch, SketchItem, Stroke } from "../paper/paper.ts";

export const pointsPerMm = 72 / 25.4;

/** One ink and one accent, as on the screen; both dark enough for a black-and-white printer. */
export const ink = rgb(20 / 255, 37 / 255, 58 / 255);
export const accent = rgb(173 / 255, 60 / 255, 8 / 255);
export const softInk = rgb(70 / 255, 86 / 255, 106 / 255);
const wash = rgb(0.93, 0.93, 0.91);
const white = rgb(1, 1, 1);

interface LineStyle {
  readonly widthMm: number;
  readonly color: Color;
  readonly dashMm?: readonly number[];
}

/** Line types of technical drawings (ISO 128-2): names are plain words. */
const styles: Readonly<Record<Stroke, LineStyle>> = {
  thick: { widthMm: 0.35, color: ink },
  thin: { widthMm: 0.13, color: ink },
  centre: { widthMm: 0.13, color: ink, dashMm: [4, 1, 0.6, 1] },
  phantom: { widthMm: 0.13, color: softInk, dashMm: [4, 1, 0.6, 1, 0.6, 1] },
  required: { widthMm: 0.3, color: ink, dashMm: [1.6, 0.9] },
  measured: { widthMm: 0.5, color: accent },
  limit: { widthMm: 0.35, color: ink },
  interval: { widthMm: 0.6, color: accent },
  hatch: { widthMm: 0.09, color: softInk },
};

const fills = { wash, white, ink, accent } as const;

export interface Typeface {
  readonly regular: PDFFont;
  readonly bold: PDFFont;
  /** Letters that both have. */
  readonly known: ReadonlySet<number>;
  /** Shown in place of others. */
  readonly stranger: string;
  /** How many others there were so far. */
  strangers: number;
  /** Advance of a letter, shares of the size of type. */
  advanceOf(letter: string, bold: boolean): number;
}

/** Advances are looked up once per letter: laying out whole lines again and again takes seconds. */
export function typefaceOf(regular: PDFFont, bold: PDFFont): Typeface {
  const known = new Set(regular.getCharacterSet());
  const stranger = ["\u25a1", "\ufffd", "\u00a4"].find((c) => known.has(c.codePointAt(0)!)) ?? "?";
  const advances = [new Map<string, number>(), new Map<string, number>()];
  const advanceOf = (letter: string, isBold: boolean): number => {
    const table = advances[isBold ? 1 : 0];
    let advance = table.get(letter);
    if (advance === undefined) {
      advance = (isBold ? bold : regular).widthOfTextAtSize(letter, 1);
      table.set(letter, advance);
    }
    return advance;
  };
  return { regular, bold, known, stranger, strangers: 0, advanceOf };
}

export interface TextStyle {
  readonly sizePt: number;
  readonly bold?: boolean;
  readonly color?: Color;
  readonly anchor?: "start" | "middle" | "end";
}

/** A quarter circle by a cubic curve (the usual constant, 4/3 (sqrt 2 - 1)). */
const quarter = 0.5522847498;

export class Ink {
  readonly page: PDFPage;
  readonly #type: Typeface;

  constructor(page: PDFPage, type: Typeface) {
    this.page = page;
    this.#type = type;
  }

  #x = (mm: number): number => mm * pointsPerMm;
  #y = (mm: number): number => this.page.getHeight() - mm * pointsPerMm;

  /** Letters that the typeface does not have are shown as a box: never left out in silence. */
  #printable(words: string): string {
    const { known, stranger } = this.#type;
    let text = "";
    for (const letter of words.replace(/[\u202f\u2009]/g, "\u00a0").replace(/[\r\n\t]+/g, " ")) {
      text += known.has(letter.codePointAt(0) ?? 0) ? letter : stranger;
    }
    return text;
  }

  #font = (bold = false): PDFFont => (bold ? this.#type.bold : this.#type.regular);

  widthOf(words: string, { sizePt, bold }: TextStyle): number {
    let width = 0;
    for (const letter of this.#printable(words))
      width += this.#type.advanceOf(letter, bold === true);
    return (width * sizePt) / pointsPerMm;
  }

  /** One line of words with its base line at y. */
  words(words: string, x: number, y: number, style: TextStyle): void {
    const text = this.#printable(words);
    if (text === "") return;
    for (const letter of text) if (letter === this.#type.stranger) this.#type.strangers++;
    const width = this.widthOf(words, style);
    const shift = { start: 0, middle: -width / 2, end: -width }[style.anchor ?? "start"];
    this.page.drawText(text, {
      x: this.#x(x + shift),
      y: this.#y(y),
      size: style.sizePt,
      font: this.#font(style.bold),
      color: style.color ?? ink,
    });
  }

  /** Breaks words into lines of at most `widthMm`; a word that is too long alone is cut. */
  broken(words: string, widthMm: number, style: TextStyle): string[] {
    const lines: string[] = [];
    for (const paragraph of words.split("\n")) {
      let line = "";
      for (const word of paragraph.split(" ").flatMap((w) => this.#cut(w, widthMm, style))) {
        const longer = line ? `${line} ${word}` : word;
        if (line && this.widthOf(longer, style) > widthMm) {
          lines.push(line);
          line = word;
        } else line = longer;
      }
      lines.push(line);
    }
    return lines;
  }

  #cut(word: string, widthMm: number, style: TextStyle): string[] {
    if (this.widthOf(word, style) <= widthMm) return [word];
    const pieces = [""];
    for (const letter of word) {
      const longer = pieces[pieces.length - 1] + letter;
      if (this.widthOf(longer, style) > widthMm) pieces.push(letter);
      else pieces[pieces.length - 1] = longer;
    }
    return pieces;
  }

  line(points: readonly number[], kind: Stroke, closed = false): void {
    const style = styles[kind];
    this.page.pushOperators(
      pushGraphicsState(),
      setStrokingColor(style.color),
      setLineWidth(style.widthMm * pointsPerMm),
      setLineCap(0),
      setDashPattern((style.dashMm ?? []).map((mm) => mm * pointsPerMm) as never, 0),
      ...this.#path(points),
      ...(closed ? [closePath()] : []),
      strokePath(),
      popGraphicsState(),
    );
  }

  shape(points: readonly number[], kind: keyof typeof fills): void {
    this.page.pushOperators(
      pushGraphicsState(),
      setFillingColor(fills[kind]),
      ...this.#path(points),
      closePath(),
      fill(),
      popGraphicsState(),
    );
  }

  #path(points: readonly number[]): PDFOperator[] {
    const operators: PDFOperator[] = [];
    for (let i = 0; i + 1 < points.length; i += 2) {
      const place = i === 0 ? moveTo : lineTo;
      operators.push(place(this.#x(points[i]), this.#y(points[i + 1])));
    }
    return operators;
  }

  #ellipse(
    item: Extract<SketchItem, { kind: "ellipse" }>,
    left: number,
    top: number,
    scale: number,
  ): void {
    const style = styles[item.stroke];
    const [rx, ry] = [item.rx, item.ry].map((length) => scale * length * pointsPerMm);
    const turn = (-item.turnDeg * Math.PI) / 180;
    const [c, s] = [Math.cos(turn), Math.sin(turn)];
    const curve = (...numbers: number[]) =>
      PDFOperator.of(
        PDFOperatorNames.AppendBezierCurve,
        numbers.map((n) => n.toFixed(4)),
      );
    const [kx, ky] = [quarter * rx, quarter * ry];
    this.page.pushOperators(
      pushGraphicsState(),
      concatTransformationMatrix(
        c,
        s,
        -s,
        c,
        this.#x(left + scale * item.x),
        this.#y(top + scale * item.y),
      ),
      setStrokingColor(style.color),
      setFillingColor(item.fill ? fills[item.fill] : white),
      setLineWidth(style.widthMm * pointsPerMm),
      moveTo(rx, 0),
      curve(rx, ky, kx, ry, 0, ry),
      curve(-kx, ry, -rx, ky, -rx, 0),
      curve(-rx, -ky, -kx, -ry, 0, -ry),
      curve(kx, -ry, rx, -ky, rx, 0),
      closePath(),
      item.fill ? fillAndStroke() : strokePath(),
      popGraphicsState(),
    );
  }

  /**
   * A vector drawing with its top left corner at x, y; nothing is drawn outside of it. `scale`: of all
   * its lengths; lines keep their width, words shrink less so that they can be read.
   */
  sketch(sketch: Sketch, left: number, top: number, scale = 1): void {
    const [w, h] = [scale * sketch.widthMm, scale * sketch.heightMm];
    const frame = [left, top, left + w, top, left + w, top + h, left, top + h];
    this.page.pushOperators(pushGraphicsState(), ...this.#path(frame), clip(), endPath());
    for (const item of sketch.items) {
      switch (item.kind) {
        case "line":
          this.line(moved(item.points, left, top, scale), item.stroke, item.closed);
          break;
        case "shape":
          this.shape(moved(item.points, left, top, scale), item.fill);
          break;
        case "ellipse":
          this.#ellipse(item, left, top, scale);
          break;
        case "text":
          this.words(item.words, left + scale * item.x, top + scale * item.y, {
            sizePt: item.sizePt * Math.max(scale, leastTypeScale),
            bold: item.bold,
            anchor: item.anchor,
            color: item.accent ? accent : ink,
          });
      }
    }
    this.page.pushOperators(popGraphicsState());
  }

  picture(image: PDFImage, left: number, top: number, widthMm: number, heightMm: number): void {
    this.page.drawImage(image, {
      x: this.#x(left),
      y: this.#y(top + heightMm),
      width: widthMm * pointsPerMm,
      height: heightMm * pointsPerMm,
    });
  }
}

/** Words of a drawing never shrink below this share. */
const leastTypeScale = 0.85;

const moved = (points: readonly number[], dx: number, dy: number, scale: number): number[] =>
  points.map((value, i) => scale * value + (i % 2 === 0 ? dx : dy));
