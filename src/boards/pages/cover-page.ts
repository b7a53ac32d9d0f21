/** The kit's first page: how to print, what to measure on the print, what goes where. */

import { kitRanges, type RoleKind } from "../kit.ts";
import { drawBay, drawPageKey } from "./cover-drawing.ts";
import type { KitPage } from "./kit-page.ts";
import { boardPageLayout, type Paper, papers } from "./paper.ts";
import type { Pen, TextStyle } from "./pen.ts";

const bodyPt = 9.5;

const places: Readonly<Record<RoleKind, { readonly name: string; readonly where: string }>> = {
  "wheel plate": {
    name: "Wheel plates",
    where: "One on each wheel's plate, board centre on plate centre, facing outward.",
  },
  "floor point": {
    name: "Floor points",
    where: "At least six, flat on the floor around the car and up to the stand.",
  },
  stand: {
    name: "Stand and target",
    where: "At least two, fixed to the stand or the target so that they cannot move against it.",
  },
  pointer: {
    name: "Pointers",
    where: "Cut at the upper line: the tick's end is the tip. Hold it on a point for one photo.",
  },
  "length bar": {
    name: "Length bar ends",
    where: "51 and 52 on one stiff bar, as long as the bay allows; measure centre to centre.",
  },
};

/** Text column of the cover; sizes grow with the paper. */
interface Column {
  readonly pen: Pen;
  readonly left: number;
  readonly width: number;
  /** Size against A4. */
  readonly k: number;
}

/** Draws the cover; `pages` are all pages of the document, in order, the cover first. */
export function drawCoverPage(pen: Pen, paper: Paper, pages: readonly KitPage[]): void {
  const k = Math.min(paper.widthMm / 210, paper.heightMm / 279.4);
  const column: Column = {
    pen,
    left: -paper.widthMm / 2 + 18 * k,
    width: paper.widthMm - 36 * k,
    k,
  };
  const { left, width } = column;
  let y = paper.heightMm / 2 - 22 * k;

  pen.text("Boards to print", left, y, { sizePt: 20 * k, bold: true });
  pen.text(`Plumbshot kit, ${paper.name}`, left + width, y, { sizePt: 11 * k, align: "right" });
  pen.line(left, y - 3 * k, left + width, y - 3 * k, 0.3);
  y -= 11 * k;

  const keyWidth = 40 * k;
  const beside = { ...column, width: width - keyWidth - 10 * k };
  drawPageKey(pen, paper, left + width - keyWidth, y + 2.5 * k, keyWidth);
  y = section(beside, "1  Print", printWords(paper, pages), y);
  y = section(beside, "2  Measure the print", measureWords(paper), y);
  y = drawReadingLines(beside, y, paper);
  y = section(column, "3  Glue it flat", glueWords(paper), y);
  y = heading(column, "4  What goes where", y);
  y = drawBay(pen, left, y, width, rolesOf(pages)) - 6 * k;
  y = drawTable(column, pages, y);
  drawSafety(column, y - 1.5 * k);
}

function heading({ pen, left, k }: Column, words: string, y: number): number {
  pen.text(words, left, y, { sizePt: 11.5 * k, bold: true });
  return y - 5.2 * k;
}

function section(column: Column, title: string, words: readonly string[], y: number): number {
  const { pen, left, width, k } = column;
  y = heading(column, title, y);
  for (const sentence of words)
    y = pen.paragraph(sentence, left, y, width, { sizePt: bodyPt * k }) - 0.6 * k;
  return y - 2.4 * k;
}

function printWords(paper: Paper, pages: readonly KitPage[]): string[] {
  const first = firstNeeded(pages);
  return [
    "At 100 % (actual size), never fitted to the page; one side, black, on plain matt paper of " +
      "100 g/m² or more. No gloss and no film over it: reflections hide the pattern.",
    `To begin with, print pages ${first}; the others when they are needed.`,
    ...(paper.cellMm === papers.A4.cellMm
      ? []
      : [
          `Large boards: cell ${paper.cellMm} mm, not ${papers.A4.cellMm} mm as in the kit on A4 and ` +
            "Letter. The job must name the cell size of every large board.",
        ]),
  ];
}

function measureWords(paper: Paper): string[] {
  const { horizontal, vertical } = boardPageLayout(paper);
  return [
    "Once per printer and paper: lay a steel rule on a board page and read both check bars, middle " +
      `of tick to middle of tick. The bar across is ${horizontal.lengthMm} mm. The bar up is ` +
      `${vertical.lengthMm} mm: its two ticks stand above and below the board, the rule lies across ` +
      "the pattern. Type both readings into the print check. A print that is 0.5 % off and goes " +
      "unnoticed moves a distance of 4 m by 20 mm.",
  ];
}

function glueWords(paper: Paper): string[] {
  return [
    "Glue each page without bubbles onto something stiff and flat: aluminium composite, glass, " +
      "thick smooth board. A straight edge across it should show no gap above 0.5 mm. Leave the white " +
      `margin (${paper.cellMm} mm around the pattern) free of tape, clips and writing. Small plates: ` +
      "cut at the marks, no closer. The centre lines are the ticks above and below the board; at its " +
      "left and right edge, the joint between the 7th and the 8th cell.",
  ];
}

/** Blanks to write the readings in. */
function drawReadingLines({ pen, left, width, k }: Column, y: number, paper: Paper): number {
  const { horizontal, vertical } = boardPageLayout(paper);
  const blanks = [
    [`${horizontal.lengthMm} mm across reads`, 0, 0.48],
    [`${vertical.lengthMm} mm up reads`, 0.52, 1],
  ] as const;
  const style = { sizePt: bodyPt * k };
  for (const [label, from, to] of blanks) {
    const x = left + from * width;
    pen.text(label, x, y - k, style);
    pen.line(x + pen.textWidth(label, style) + 2, y - 1.6 * k, left + to * width, y - 1.6 * k, 0.2);
  }
  return y - 10.5 * k;
}

function drawTable({ pen, left, width, k }: Column, pages: readonly KitPage[], y: number): number {
  const columns = { ids: left, name: left + 19 * k, where: left + 52 * k, pages: left + width };
  const plain = { sizePt: 8.5 * k };
  const head = { ...plain, bold: true };
  const row = (ids: string, name: string, where: string, range: string, style: TextStyle) => {
    pen.text(ids, columns.ids, y, style);
    pen.text(name, columns.name, y, style);
    pen.text(range, columns.pages, y, { ...style, align: "right" });
    y = pen.paragraph(where, columns.where, y, width - 68 * k, style) - 0.9 * k;
  };
  row("Ids", "Role", "Where", "Pages", head);
  pen.line(left, y + 2.8 * k, left + width, y + 2.8 * k, 0.2);
  y -= 1.2 * k;
  for (const { first, last, kind } of kitRanges) {
    const range = pageRange(pages, (p) => p.kind === "board" && p.id >= first && p.id <= last);
    const { name, where } = places[kind];
    if (range) row(`${first} to ${last}`, name, where, range, plain);
  }
  const sheet = pageRange(pages, (p) => p.kind === "camera sheet");
  const lay = "Once per phone: lay it flat and photograph it from all sides.";
  if (sheet) row("", "Camera sheet", lay, sheet, plain);
  return y;
}

function drawSafety({ pen, left, width, k }: Column, y: number): void {
  pen.line(left, y + 3.2 * k, left + width, y + 3.2 * k, 0.2);
  const words =
    "The vehicle maker's procedure and the rules of the place govern, always. These boards help to " +
    "measure where things stand; they certify no calibration. Use every id only once in a bay. " +
    "Chock the wheels; never work under a car held by a jack alone.";
  pen.paragraph(words, left, y - 1.5 * k, width, { sizePt: 8.5 * k, bold: true });
}

const rolesOf = (pages: readonly KitPage[]): RoleKind[] =>
  kitRanges
    .filter(({ first }) => pages.some((p) => p.kind === "board" && p.id === first))
    .map(({ kind }) => kind);

/** Boards for a first job: the wheels, six floor points, two on the stand, one length bar. */
const firstIds = [1, 2, 3, 4, 11, 12, 13, 14, 15, 16, 31, 32, 51, 52];

function firstNeeded(pages: readonly KitPage[]): string {
  const wanted = pages.flatMap((page, i) => {
    const needed =
      page.kind === "camera sheet" || (page.kind === "board" && firstIds.includes(page.id));
    return needed ? [i + 1] : [];
  });
  return listRanges(wanted);
}

function pageRange(pages: readonly KitPage[], isWanted: (page: KitPage) => boolean): string | null {
  const numbers = pages.flatMap((page, i) => (isWanted(page) ? [i + 1] : []));
  return numbers.length > 0 ? listRanges(numbers) : null;
}

/** [2, 3, 4, 7, 9, 10] -> "2-4, 7, 9-10". */
export function listRanges(numbers: readonly number[]): string {
  const parts: string[] = [];
  for (let i = 0; i < numbers.length; i++) {
    const start = numbers[i];
    while (numbers[i + 1] === numbers[i] + 1) i++;
    parts.push(numbers[i] === start ? `${start}` : `${start}-${numbers[i]}`);
  }
  return parts.join(", ");
}
