/** Photos with what was found in them. */
import type { PDFImage } from "pdf-lib";
import type { PaperPhoto } from "../paper/paper.ts";
import type { Flow } from "./flow.ts";
import { accent } from "./ink.ts";
import { ascent, lineHeight, small } from "./text-styles.ts";

export type Pictures = ReadonlyMap<string, PDFImage>;

const photoColumns = 3;

/** Photos in rows of three, each with the outlines of what was found in it. */
export function drawPhotos(flow: Flow, photos: readonly PaperPhoto[], pictures: Pictures): void {
  const gap = 4;
  const width = (flow.width - gap * (photoColumns - 1)) / photoColumns;
  for (let i = 0; i < photos.length; i += photoColumns) {
    const row = photos.slice(i, i + photoColumns).map((photo) => {
      const image = photo.picture === null ? undefined : pictures.get(photo.picture);
      const height = image ? Math.min(width * 1.34, (width * image.height) / image.width) : 0;
      const lines = photo.lines.flatMap((line) => flow.ink.broken(line, width, small));
      return { photo, image, height, lines };
    });
    const tall = Math.max(...row.map(({ height }) => height));
    const words = Math.max(...row.map(({ lines }) => lines.length)) + 1;
    const height = tall + words * lineHeight(small) + 3;
    flow.need(height);
    for (const [k, item] of row.entries()) {
      const x = flow.left + k * (width + gap);
      const shown = item.image ? (item.height * item.image.width) / item.image.height : 0;
      flow.structure.within(
        "Figure",
        () => flow.structure.content(flow.ink.page, () => drawPhoto(flow, item, x, shown, tall)),
        item.photo.name,
      );
    }
    flow.down(height);
  }
}

interface PlacedPhoto {
  readonly photo: PaperPhoto;
  readonly image: PDFImage | undefined;
  readonly height: number;
  readonly lines: readonly string[];
}

/** The picture, the outlines of what was found in it, and words below. */
function drawPhoto(flow: Flow, item: PlacedPhoto, x: number, width: number, tall: number): void {
  const { photo, image, height, lines } = item;
  const top = flow.y;
  if (image) {
    flow.ink.picture(image, x, top, width, height);
    for (const { corners, word } of photo.outlines) {
      const points = corners.map((share, i) =>
        i % 2 === 0 ? x + share * width : top + share * height,
      );
      flow.ink.line(points, "measured", true);
      const [right, middle] = [Math.max(...points.filter((_, i) => i % 2 === 0)), points[1]];
      flow.ink.words(word, right + 0.6, middle, { sizePt: 6, bold: true, color: accent });
    }
  }
  let y = top + tall + ascent(small) + 0.8;
  for (const [i, line] of [photo.name, ...lines].entries()) {
    flow.ink.words(line, x, y, { ...small, bold: i === 0 });
    y += lineHeight(small);
  }
}
