import type { BoardView } from "../../detect/findings/findings.ts";
import type { ExifFacts } from "../../photo/exif/exif-facts.ts";

/** One photo of the camera sheet, as the finder saw it. */
export interface SheetPhoto {
  readonly photo: string;
  readonly width: number;
  readonly height: number;
  readonly exif: ExifFacts | null;
  readonly view: BoardView;
}
