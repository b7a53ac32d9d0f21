/** Draws the blocks of a document one below the other. */
import type { Block } from "../paper/paper.ts";
import { drawChecks, drawStamp, stampText } from "./checks.ts";
import type { Flow } from "./flow.ts";
import { softInk, type TextStyle } from "./ink.ts";
import { drawPhotos, type Pictures } from "./photos.ts";
import { drawTable } from "./table.ts";
import { ascent, body, lineHeight, small } from "./text-styles.ts";

type Of<Kind extends Block["kind"]> = Extract<Block, { kind: Kind }>;

type Drawers = { readonly [Kind in Block["kind"]]: (flow: Flow, block: Of<Kind>) => void };

const drawers: Drawers = {
  head: drawHead,
  heading: drawHeading,
  text: drawText,
  notice: drawNotice,
  list: drawList,
  facts: drawFacts,
  table: drawTable,
  checks: drawChecks,
  drawings: drawDrawings,
  photos: () => undefined,
  signatures: drawSignatures,
  "page break": (flow) => flow.breakPage(),
};

export function drawBlock(flow: Flow, block: Block, pictures: Pictures): void {
  if (block.kind === "photos") drawPhotos(flow, block.photos, pictures);
  else (drawers[block.kind] as (flow: Flow, block: Block) => void)(flow, block);
}

function drawText(flow: Flow, { words, small: isSmall, bold }: Of<"text">): void {
  flow.structure.within("P", () => paragraph(flow, words, { ...(isSmall ? small : body), bold }));
  flow.down(1.2);
}

/** Words over as many lines as they need; breaks to a new page between lines. */
function paragraph(
  flow: Flow,
  words: string,
  style: TextStyle,
  left = flow.left,
  width = flow.width,
): void {
  for (const line of flow.ink.broken(words, width, style)) {
    flow.need(lineHeight(style));
    flow.structure.content(flow.ink.page, () =>
      flow.ink.words(line, left, flow.y + ascent(style), style),
    );
    flow.down(lineHeight(style));
  }
}

function drawHead(flow: Flow, { title, subtitle, stamp }: Of<"head">): void {
  const stampWidth = stamp ? Math.min(70, 8 + flow.ink.widthOf(stamp.word, stampText(14))) : 0;
  const width = flow.width - stampWidth - 4;
  const top = flow.y;
  flow.structure.within("H1", () =>
    paragraph(flow, title, { sizePt: 16, bold: true }, flow.left, width),
  );
  if (subtitle)
    flow.structure.within("P", () => paragraph(flow, subtitle, { sizePt: 10.5 }, flow.left, width));
  const below = flow.y;
  if (stamp) {
    flow.structure.within("P", () =>
      drawStamp(flow, stamp, flow.left + flow.width - stampWidth, top, stampWidth, 11, 14),
    );
  }
  flow.down(Math.max(0, top + 13 - below) + 1);
  flow.structure.artifact(flow.ink.page, () =>
    flow.ink.line([flow.left, flow.y, flow.left + flow.width, flow.y], "thick"),
  );
  flow.down(3);
}

function drawHeading(flow: Flow, { level, words }: Of<"heading">): void {
  const style: TextStyle = { sizePt: level === 1 ? 12.5 : 10, bold: true };
  // A heading stays with the first lines of what follows.
  flow.need(lineHeight(style) + 14);
  if (!flow.atTop) flow.down(level === 1 ? 3.5 : 2);
  flow.structure.within(level === 1 ? "H2" : "H3", () => paragraph(flow, words, style));
  flow.down(0.8);
}

function drawNotice(flow: Flow, { title, lines }: Of<"notice">): void {
  const width = flow.width - 8;
  const count = lines.reduce((sum, line) => sum + flow.ink.broken(line, width, body).length, 1);
  flow.need(Math.min(flow.pageRoom, count * lineHeight(body) + 5));
  const top = flow.y;
  const page = flow.ink.page;
  flow.down(1.6);
  const left = flow.left + 4;
  flow.structure.within("P", () => paragraph(flow, title, { ...body, bold: true }, left, width));
  for (const line of lines)
    flow.structure.within("P", () => paragraph(flow, line, body, left, width));
  flow.down(1.2);
  // Broken over pages it has no frame on the second one.
  if (flow.ink.page === page) {
    const [l, r, b] = [flow.left, flow.left + flow.width, flow.y];
    flow.structure.artifact(page, () => flow.ink.line([l, top, r, top, r, b, l, b], "thin", true));
  }
  flow.down(2);
}

function drawList(flow: Flow, { items, small: isSmall }: Of<"list">): void {
  const style = isSmall ? small : body;
  flow.structure.within("L", () => {
    for (const item of items) {
      flow.structure.within("LI", () => {
        const [first, ...rest] = flow.ink.broken(item, flow.width - 4, style);
        flow.need(lineHeight(style));
        flow.structure.content(flow.ink.page, () => {
          flow.ink.words("•", flow.left, flow.y + ascent(style), style);
          flow.ink.words(first, flow.left + 4, flow.y + ascent(style), style);
        });
        flow.down(lineHeight(style));
        for (const line of rest) paragraph(flow, line, style, flow.left + 4, flow.width - 4);
      });
    }
  });
  flow.down(1.2);
}

/** Names and values in columns, as in the title block of a drawing. */
function drawFacts(flow: Flow, { items, columns }: Of<"facts">): void {
  const gap = 4;
  const width = (flow.width - gap * (columns - 1)) / columns;
  for (let i = 0; i < items.length; i += columns) {
    const cells = items.slice(i, i + columns).map(([name, value]) => ({
      name,
      lines: flow.ink.broken(value, width, body),
    }));
    const height =
      lineHeight(small) + Math.max(...cells.map(({ lines }) => lines.length)) * lineHeight(body);
    flow.need(height + 1);
    const y = flow.y;
    for (const [k, { name, lines }] of cells.entries()) {
      const x = flow.left + k * (width + gap);
      flow.structure.within("P", () =>
        flow.structure.content(flow.ink.page, () => {
          flow.ink.words(name, x, y + ascent(small), { ...small, color: softInk });
          for (const [n, line] of lines.entries()) {
            const base = y + lineHeight(small) + n * lineHeight(body) + ascent(body);
            flow.ink.words(line, x, base, body);
          }
        }),
      );
    }
    flow.down(height + 0.8);
  }
  flow.down(1);
}

/** A drawing smaller than this share of its size goes to the next page instead. */
const leastScale = 0.6;

/** Share of their size at which drawings leave room for what has to stay on their page. */
function shareThatFits(flow: Flow, { sketches, keepMm = 0 }: Of<"drawings">): number {
  const full = Math.max(...sketches.map(({ sketch }) => sketch.heightMm));
  return (flow.room - keepMm - lineHeight(small) - 1.5) / full;
}

/** True where drawings would push off their page what has to stay on it. */
export const mustWait = (flow: Flow, block: Block): boolean =>
  block.kind === "drawings" &&
  block.keepMm !== undefined &&
  shareThatFits(flow, block) < leastScale;

function drawDrawings(flow: Flow, block: Of<"drawings">): void {
  const { sketches, keepMm } = block;
  const fits = shareThatFits(flow, block);
  const scale = keepMm !== undefined && fits >= leastScale ? Math.min(1, fits) : 1;
  const height = scale * Math.max(...sketches.map(({ sketch }) => sketch.heightMm));
  const total = scale * sketches.reduce((sum, { sketch }) => sum + sketch.widthMm, 0);
  const gap = sketches.length > 1 ? (flow.width - total) / (sketches.length - 1) : 0;
  flow.need(height + lineHeight(small) + 1);
  let x = flow.left;
  const top = flow.y;
  for (const { caption, sketch } of sketches) {
    const left = x;
    flow.structure.within(
      "Figure",
      () =>
        flow.structure.content(flow.ink.page, () => {
          flow.ink.words(caption, left, top + ascent(small), { ...small, bold: true });
          flow.ink.sketch(sketch, left, top + lineHeight(small), scale);
        }),
      sketch.alt,
    );
    x += scale * sketch.widthMm + gap;
  }
  flow.down(height + lineHeight(small) + 1.5);
}

function drawSignatures(flow: Flow, { labels }: Of<"signatures">): void {
  flow.need(14);
  const gap = 8;
  const width = (flow.width - gap * (labels.length - 1)) / labels.length;
  flow.down(9);
  for (const [i, label] of labels.entries()) {
    const x = flow.left + i * (width + gap);
    flow.structure.within("P", () =>
      flow.structure.content(flow.ink.page, () => {
        flow.ink.line([x, flow.y, x + width, flow.y], "thin");
        flow.ink.words(label, x, flow.y + 3, { ...small, color: softInk });
      }),
    );
  }
  flow.down(5);
}
