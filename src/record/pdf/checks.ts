/** The verdicts: stamps, and checks beside their number lines. */
import type { Block, CheckRow, StampStyle } from "../paper/paper.ts";
import type { Flow } from "./flow.ts";
import { ink as inkColor, softInk, type TextStyle } from "./ink.ts";
import { ascent, body, lineHeight, small } from "./text-styles.ts";

export const stampText = (sizePt: number): TextStyle => ({ sizePt, bold: true });

/** The verdict as a word in a frame: full line meets, filled misses, dashed not proven. */
export function drawStamp(
  flow: Flow,
  { word, style }: { readonly word: string; readonly style: StampStyle },
  left: number,
  top: number,
  width: number,
  height: number,
  sizePt: number,
): void {
  const frame = [left, top, left + width, top, left + width, top + height, left, top + height];
  const words = stampText(sizePt);
  flow.structure.content(flow.ink.page, () => {
    if (style === "misses") flow.ink.shape(frame, "ink");
    else flow.ink.line(frame, style === "meets" ? "thick" : "required", true);
    flow.ink.words(word, left + width / 2, top + height / 2 + 0.36 * sizePt * (25.4 / 72), {
      ...words,
      anchor: "middle",
      color: style === "misses" ? whiteInk : inkColor,
    });
  });
}

const whiteInk = { ...inkColor, red: 1, green: 1, blue: 1 };

const stampWidth = 24;
const checkLineWidth = 72;

/** Checks with their values, number lines and verdicts. */
export function drawChecks(flow: Flow, { rows }: Extract<Block, { kind: "checks" }>): void {
  const wordsWidth = flow.width - stampWidth - checkLineWidth - 6;
  flow.structure.within("Table", () => {
    for (const row of rows) {
      const name = flow.ink.broken(row.name, wordsWidth, { ...body, bold: true });
      const value = flow.ink.broken(row.value, wordsWidth, body);
      const note = flow.ink.broken(row.small, wordsWidth, small);
      const height = Math.max(
        row.line.heightMm,
        (name.length + value.length) * lineHeight(body) + note.length * lineHeight(small),
      );
      flow.need(height + 3);
      flow.structure.within("TR", () => drawCheck(flow, row, [name, value, note], wordsWidth));
      flow.down(height + 1.2);
      flow.structure.artifact(flow.ink.page, () =>
        flow.ink.line([flow.left, flow.y, flow.left + flow.width, flow.y], "thin"),
      );
      flow.down(1.2);
    }
  });
  flow.down(0.8);
}

function drawCheck(flow: Flow, row: CheckRow, parts: string[][], wordsWidth: number): void {
  const top = flow.y;
  const styles: TextStyle[] = [{ ...body, bold: true }, body, { ...small, color: softInk }];
  let y = top;
  flow.structure.within("TD", () =>
    flow.structure.content(flow.ink.page, () => {
      for (const [i, lines] of parts.entries()) {
        for (const line of lines) {
          flow.ink.words(line, flow.left, y + ascent(styles[i]), styles[i]);
          y += lineHeight(styles[i]);
        }
      }
    }),
  );
  flow.structure.within(
    "Figure",
    () =>
      flow.structure.content(flow.ink.page, () =>
        flow.ink.sketch(row.line, flow.left + wordsWidth + 3, top),
      ),
    row.line.alt,
  );
  flow.structure.within("TD", () =>
    drawStamp(flow, row.stamp, flow.left + flow.width - stampWidth, top + 1, stampWidth, 6.5, 8.5),
  );
}
