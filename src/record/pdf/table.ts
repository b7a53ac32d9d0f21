/** Tables with a head that is repeated on every page they go over. */
import type { Block } from "../paper/paper.ts";
import type { Flow } from "./flow.ts";
import { softInk, type TextStyle } from "./ink.ts";

const cellStyle: TextStyle = { sizePt: 8 };
const headStyle: TextStyle = { sizePt: 7.5, bold: true, color: softInk };
const lineMm = 8 * 1.32 * (25.4 / 72);
const ascentMm = 8 * 0.8 * (25.4 / 72);
const gap = 2.5;

type Table = Extract<Block, { kind: "table" }>;

export function drawTable(flow: Flow, table: Table): void {
  const total = table.widths.reduce((sum, share) => sum + share, 0);
  const widths = table.widths.map((share) => (share / total) * flow.width - gap);
  flow.structure.within("Table", () => {
    let page = null;
    for (const row of table.rows) {
      const cells = row.map((cell, i) => flow.ink.broken(cell, widths[i], cellStyle));
      const height = Math.max(...cells.map((lines) => lines.length)) * lineMm + 1;
      flow.need(height + (page === null ? 8 : 0));
      if (page !== flow.ink.page) {
        page = flow.ink.page;
        drawRow(
          flow,
          table,
          widths,
          table.head.map((words) => [words]),
          "TH",
          headStyle,
        );
        rule(flow);
      }
      drawRow(flow, table, widths, cells, "TD", cellStyle);
    }
  });
  flow.down(2);
}

function rule(flow: Flow): void {
  flow.structure.artifact(flow.ink.page, () =>
    flow.ink.line([flow.left, flow.y, flow.left + flow.width, flow.y], "thin"),
  );
  flow.down(0.8);
}

function drawRow(
  flow: Flow,
  { right = [] }: Table,
  widths: readonly number[],
  cells: readonly (readonly string[])[],
  role: "TH" | "TD",
  style: TextStyle,
): void {
  flow.structure.within("TR", () => {
    let x = flow.left;
    for (const [i, lines] of cells.entries()) {
      const isRight = right.includes(i);
      const at = isRight ? x + widths[i] : x;
      flow.structure.within(role, () =>
        flow.structure.content(flow.ink.page, () => {
          for (const [n, line] of lines.entries()) {
            const anchor = isRight ? "end" : "start";
            flow.ink.words(line, at, flow.y + n * lineMm + ascentMm, { ...style, anchor });
          }
        }),
      );
      x += widths[i] + gap;
    }
  });
  flow.down(Math.max(...cells.map((lines) => lines.length)) * lineMm + 0.8);
}
