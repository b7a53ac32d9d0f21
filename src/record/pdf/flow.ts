/** Where the next block goes: pages, margins, page breaks. Millimetres from the top left. */
import type { PDFDocument } from "pdf-lib";
import type { PaperDocument, PaperSize } from "../paper/paper.ts";
import { Ink, pointsPerMm, softInk, type Typeface } from "./ink.ts";
import { Structure } from "./structure.ts";

/** ISO 216 and ANSI sizes, mm. */
const sizes = {
  a4: { width: 210, height: 297 },
  letter: { width: 215.9, height: 279.4 },
} as const satisfies Record<PaperSize, { width: number; height: number }>;

const margin = { side: 15, top: 14, bottom: 18 };

export class Flow {
  readonly structure: Structure;
  readonly width: number;
  readonly left = margin.side;
  #ink: Ink;
  #y = margin.top;
  readonly #pages: Ink[] = [];
  readonly #pdf: PDFDocument;
  readonly #type: Typeface;
  readonly #size: { readonly width: number; readonly height: number };

  constructor(pdf: PDFDocument, type: Typeface, size: PaperSize) {
    this.#pdf = pdf;
    this.#type = type;
    this.#size = sizes[size];
    this.width = this.#size.width - 2 * margin.side;
    this.structure = new Structure(pdf);
    this.#ink = this.#newPage();
  }

  get ink(): Ink {
    return this.#ink;
  }

  get y(): number {
    return this.#y;
  }

  /** Room left on this page. */
  get room(): number {
    return this.#size.height - margin.bottom - this.#y;
  }

  /** Room on an empty page. */
  get pageRoom(): number {
    return this.#size.height - margin.bottom - margin.top;
  }

  get atTop(): boolean {
    return this.#y === margin.top;
  }

  down(mm: number): void {
    this.#y += mm;
  }

  /** Begins a new page where less than `mm` is left. */
  need(mm: number): void {
    if (mm > this.room && !this.atTop) this.breakPage();
  }

  breakPage(): void {
    if (this.atTop) return;
    this.#ink = this.#newPage();
    this.#y = margin.top;
  }

  #newPage(): Ink {
    const { width, height } = this.#size;
    const page = this.#pdf.addPage([width * pointsPerMm, height * pointsPerMm]);
    const ink = new Ink(page, this.#type);
    this.#pages.push(ink);
    return ink;
  }

  /** Foot lines of all pages, once their number is known. */
  finish(foot: PaperDocument["foot"]): void {
    const pages = this.#pages.length;
    for (const [index, ink] of this.#pages.entries()) {
      const y = this.#size.height - 10;
      const right = this.left + this.width;
      const said = (words: string) =>
        words.replace("{page}", String(index + 1)).replace("{pages}", String(pages));
      this.structure.artifact(ink.page, () => {
        ink.line([this.left, y - 4, right, y - 4], "thin");
        const style = { sizePt: 6.5, color: softInk };
        ink.words(said(foot.left), this.left, y, style);
        ink.words(said(foot.right), right, y, { ...style, anchor: "end" });
      });
    }
    this.structure.write();
  }
}
