/** A document for paper as a PDF file: vector drawings, words that can be selected, tags. */
import fontkit from "@pdf-lib/fontkit";
import { PDFDocument, type PDFImage } from "pdf-lib";
import type { Block, PaperDocument } from "../paper/paper.ts";
import { drawBlock, mustWait } from "./blocks.ts";
import { Flow } from "./flow.ts";
import { typefaceOf } from "./ink.ts";

/**
 * TrueType files of the typeface. They go into the PDF whole (27 kB each): the library that cuts a
 * typeface down to the letters in use loses the outlines of some.
 */
export interface FontFiles {
  readonly regular: Uint8Array;
  readonly bold: Uint8Array;
}

/** Small pictures by name; JPEG (first bytes FF D8) or PNG. */
export type PictureFiles = ReadonlyMap<string, Uint8Array>;

/** Ligatures would be copied out of the PDF as one strange letter. */
const features = { liga: false, dlig: false, clig: false, calt: false };

/** The PDF's bytes; the same document gives the same bytes. */
export async function writePdf(
  paper: PaperDocument,
  fonts: FontFiles,
  pictures: PictureFiles,
): Promise<Uint8Array> {
  const pdf = await PDFDocument.create({ updateMetadata: false });
  pdf.registerFontkit(fontkit);
  const date = new Date(paper.date);
  pdf.setTitle(paper.title, { showInWindowTitleBar: true });
  pdf.setSubject(paper.subject);
  pdf.setAuthor(paper.author);
  pdf.setCreator("Plumbshot");
  pdf.setProducer("Plumbshot");
  pdf.setLanguage(paper.language);
  pdf.setCreationDate(date);
  pdf.setModificationDate(date);
  const type = typefaceOf(
    await pdf.embedFont(fonts.regular, { subset: false, features }),
    await pdf.embedFont(fonts.bold, { subset: false, features }),
  );
  const images = new Map<string, PDFImage>();
  for (const [name, bytes] of pictures) {
    const isJpeg = bytes[0] === 0xff && bytes[1] === 0xd8;
    images.set(name, await (isJpeg ? pdf.embedJpg(bytes) : pdf.embedPng(bytes)));
  }
  const flow = new Flow(pdf, type, paper.size);
  drawBlocks(flow, paper.blocks, images);
  if (type.strangers > 0 && paper.strangerNote) {
    drawBlock(flow, { kind: "text", words: paper.strangerNote, small: true }, images);
  }
  flow.finish(paper.foot);
  return pdf.save();
}

/** A drawing that its page has no room for comes first on the page after the next break. */
function drawBlocks(
  flow: Flow,
  blocks: readonly Block[],
  images: ReadonlyMap<string, PDFImage>,
): void {
  const waiting: Block[] = [];
  const drawWaiting = () => {
    for (const block of waiting.splice(0)) drawBlock(flow, block, images);
  };
  for (const block of blocks) {
    if (mustWait(flow, block)) waiting.push(block);
    else drawBlock(flow, block, images);
    if (block.kind === "page break") drawWaiting();
  }
  drawWaiting();
}
