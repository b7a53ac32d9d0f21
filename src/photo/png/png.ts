/**
 * PNG to luma (ISO/IEC 15948): grey, RGB and palette pictures of 1 to 16 bits, with or without
 * transparency (which is ignored), not interlaced. Rows are unfiltered as they come out of the
 * inflater, so memory stays near one byte per pixel.
 */
import { Unzlib } from "fflate";
import type { Remark } from "../file/codes.ts";
import { tooManyPixels } from "../file/photo-remarks.ts";
import type { LumaOutcome } from "../jpeg/jpeg.ts";
import { maxPixels } from "../jpeg/jpeg.ts";

interface PngHeader {
  readonly width: number;
  readonly height: number;
  readonly bitDepth: number;
  readonly channels: number;
  readonly colour: boolean;
  readonly palette: Uint8Array | null;
}

/** Bytes given to the inflater at a time: bounds what a crafted file can blow up to at once. */
const pushBytes = 16384;

/** Decodes a PNG. Errors (codes): png-ends-early, png-damaged, png-unsupported, photo-too-large. */
export function decodePng(bytes: Uint8Array): LumaOutcome {
  const chunks = readChunks(bytes);
  if ("code" in chunks) return { ok: false, remark: chunks };
  const header = readHeader(chunks);
  if ("code" in header) return { ok: false, remark: header };
  const { width, height } = header;
  const rows = new RowSink(header);
  const remark = inflateInto(chunks.data, rows);
  if (remark) return { ok: false, remark };
  if (rows.damaged) return { ok: false, remark: pngRemark("damaged", rows.damaged) };
  if (rows.done < height) {
    return { ok: false, remark: endsEarly(`only ${rows.done} of ${height} rows are there`) };
  }
  return { ok: true, luma: { width, height, data: rows.luma } };
}

interface Chunks {
  readonly header: Uint8Array;
  readonly palette: Uint8Array | null;
  readonly data: readonly Uint8Array[];
}

function readChunks(bytes: Uint8Array): Chunks | Remark {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  let header: Uint8Array | null = null;
  let palette: Uint8Array | null = null;
  const data: Uint8Array[] = [];
  for (let at = 8; ; ) {
    // A picture that ends early may still say how many of its rows are there.
    if (at + 12 > bytes.length) break;
    const length = view.getUint32(at);
    const name = String.fromCharCode(...bytes.subarray(at + 4, at + 8));
    const end = at + 8 + length;
    const whole = end + 4 <= bytes.length;
    const payload = bytes.subarray(at + 8, Math.min(end, bytes.length));
    if (whole && critical.has(name) && view.getUint32(end) !== crc(bytes, at + 4, end)) {
      return pngRemark("damaged", `chunk ${name}`);
    }
    if (name === "IHDR") header = payload;
    if (name === "PLTE") palette = payload;
    if (name === "IDAT") data.push(payload);
    if (!whole || name === "IEND") break;
    at = end + 4;
  }
  if (!header || header.length < 13) return endsEarly("it holds no picture");
  return { header, palette, data };
}

const critical = new Set(["IHDR", "PLTE", "IDAT"]);

const crcTable = Int32Array.from({ length: 256 }, (_, n) => {
  let c = n;
  for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
  return c;
});

function crc(bytes: Uint8Array, start: number, end: number): number {
  let c = -1;
  for (let i = start; i < end; i++) c = crcTable[(c ^ bytes[i]) & 255] ^ (c >>> 8);
  return ~c >>> 0;
}

function readHeader({ header, palette }: Chunks): PngHeader | Remark {
  const view = new DataView(header.buffer, header.byteOffset, header.byteLength);
  const width = view.getUint32(0);
  const height = view.getUint32(4);
  const [bitDepth, colourType, compression, filter, interlace] = header.subarray(8, 13);
  const channels = [1, 0, 3, 1, 2, 0, 4][colourType] ?? 0;
  const lowBits = colourType === 0 || colourType === 3;
  const depths = lowBits ? [1, 2, 4, 8, 16] : [8, 16];
  const sound = channels > 0 && depths.includes(bitDepth) && compression === 0 && filter === 0;
  if (!sound || width === 0 || height === 0) return pngRemark("damaged", "header");
  if (interlace !== 0) return pngRemark("unsupported", "interlaced");
  if (colourType === 3 && (!isPalette(palette) || bitDepth > 8))
    return pngRemark("damaged", "palette");
  if (width * height > maxPixels) return tooManyPixels(width, height, "a photo", maxPixels);
  const colour = colourType === 2 || colourType === 6;
  return { width, height, bitDepth, channels, colour, palette: colourType === 3 ? palette : null };
}

/** One to 256 colours of three bytes each. */
const isPalette = (palette: Uint8Array | null): boolean =>
  palette !== null && palette.length > 0 && palette.length <= 768 && palette.length % 3 === 0;

function inflateInto(data: readonly Uint8Array[], rows: RowSink): Remark | null {
  const inflater = new Unzlib((part) => rows.take(part));
  try {
    for (const chunk of data) {
      for (let at = 0; at < chunk.length && !rows.full; at += pushBytes) {
        inflater.push(chunk.subarray(at, at + pushBytes));
      }
    }
  } catch {
    return pngRemark("damaged", `compressed data after row ${rows.done}`);
  }
  return null;
}

/** Takes the inflated bytes, undoes the row filters and writes luma. */
class RowSink {
  readonly luma: Uint8Array;
  done = 0;
  /** What is damaged; null where nothing is. */
  damaged: "row filter" | "colour that the palette does not have" | null = null;
  private readonly step: number;
  private row: Uint8Array;
  private previous: Uint8Array;
  /** Bytes of the current row that are there, its filter byte included. */
  private filled = 0;
  private filter = 0;
  private readonly shades: Uint8Array;

  constructor(private readonly header: PngHeader) {
    const { width, height, bitDepth, channels } = header;
    this.luma = new Uint8Array(width * height);
    this.step = Math.max(1, (bitDepth * channels) >> 3);
    const rowBytes = Math.ceil((width * bitDepth * channels) / 8);
    this.row = new Uint8Array(rowBytes);
    this.previous = new Uint8Array(rowBytes);
    this.shades = shadesOf(header);
  }

  get full(): boolean {
    return this.damaged !== null || this.done === this.header.height;
  }

  take(part: Uint8Array): void {
    let at = 0;
    while (at < part.length && !this.full) {
      if (this.filled === 0) {
        this.filter = part[at++];
        this.filled = 1;
      }
      const wanted = this.row.length + 1 - this.filled;
      const piece = part.subarray(at, at + wanted);
      this.row.set(piece, this.filled - 1);
      this.filled += piece.length;
      at += piece.length;
      if (this.filled === this.row.length + 1) this.finishRow();
    }
  }

  private finishRow(): void {
    if (!unfilter(this.filter, this.row, this.previous, this.step)) {
      this.damaged = "row filter";
      return;
    }
    // A colour that is not there would come out as black, and nobody would know.
    if (this.hasForeignColour()) {
      this.damaged = "colour that the palette does not have";
      return;
    }
    this.writeLuma(this.done * this.header.width);
    [this.row, this.previous] = [this.previous, this.row];
    this.filled = 0;
    this.done++;
  }

  private hasForeignColour(): boolean {
    const { palette, width, bitDepth } = this.header;
    const colours = palette ? palette.length / 3 : 256;
    if (colours >= 1 << Math.min(8, bitDepth)) return false;
    for (let x = 0; x < width; x++) if (sampleOf(this.row, x, bitDepth) >= colours) return true;
    return false;
  }

  private writeLuma(offset: number): void {
    const { width, bitDepth, channels, colour } = this.header;
    const { row, luma, step, shades } = this;
    if (bitDepth < 8) {
      for (let x = 0; x < width; x++) luma[offset + x] = shades[sampleOf(row, x, bitDepth)];
    } else if (bitDepth === 8) {
      for (let x = 0, at = 0; x < width; x++, at += step) {
        luma[offset + x] = colour
          ? (19595 * row[at] + 38470 * row[at + 1] + 7471 * row[at + 2] + 32768) >> 16
          : shades[row[at]];
      }
    } else {
      for (let x = 0, at = 0; x < width; x++, at += 2 * channels) {
        luma[offset + x] = colour
          ? 0.299 * wide(row, at) + 0.587 * wide(row, at + 2) + 0.114 * wide(row, at + 4) + 0.5
          : wide(row, at) + 0.5;
      }
    }
  }
}

/** A sample of one byte or less. */
function sampleOf(row: Uint8Array, x: number, bitDepth: number): number {
  const bit = x * bitDepth;
  return (row[bit >> 3] >> (8 - bitDepth - (bit & 7))) & ((1 << bitDepth) - 1);
}

/** A 16-bit sample scaled to 0..255. */
function wide(row: Uint8Array, at: number): number {
  return ((row[at] << 8) | row[at + 1]) / 257;
}

/** Grey of every sample value of one byte or less, through the palette where there is one. */
function shadesOf({ bitDepth, palette }: PngHeader): Uint8Array {
  const count = bitDepth >= 8 ? 256 : 1 << bitDepth;
  return Uint8Array.from({ length: count }, (_, i) => {
    if (!palette) return Math.round((i * 255) / (count - 1));
    const [r = 0, g = 0, b = 0] = palette.subarray(3 * i, 3 * i + 3);
    return (19595 * r + 38470 * g + 7471 * b + 32768) >> 16;
  });
}

/** Undoes a PNG row filter in place; false where there is no such filter. */
function unfilter(filter: number, row: Uint8Array, above: Uint8Array, step: number): boolean {
  const n = row.length;
  switch (filter) {
    case 0:
      return true;
    case 1:
      for (let i = step; i < n; i++) row[i] += row[i - step];
      return true;
    case 2:
      for (let i = 0; i < n; i++) row[i] += above[i];
      return true;
    case 3:
      for (let i = 0; i < n; i++) row[i] += ((i < step ? 0 : row[i - step]) + above[i]) >> 1;
      return true;
    case 4:
      for (let i = 0; i < n; i++) {
        const left = i < step ? 0 : row[i - step];
        row[i] += paeth(left, above[i], i < step ? 0 : above[i - step]);
      }
      return true;
    default:
      return false;
  }
}

/** The Paeth predictor of the standard: the neighbour nearest to left + above - corner. */
function paeth(left: number, above: number, corner: number): number {
  const toLeft = Math.abs(above - corner);
  const toAbove = Math.abs(left - corner);
  const toCorner = Math.abs(left + above - 2 * corner);
  if (toLeft <= toAbove && toLeft <= toCorner) return left;
  return toAbove <= toCorner ? above : corner;
}

function pngRemark(kind: "damaged" | "unsupported", what: string): Remark {
  const message =
    kind === "damaged"
      ? `The picture's data is damaged (PNG, ${what}).`
      : `This is a kind of PNG that cannot be read: ${what}.`;
  const remedy = "Use the JPEG that the phone's camera wrote.";
  return { code: `png-${kind}`, severity: "error", message, remedy };
}

function endsEarly(detail: string): Remark {
  return {
    code: "png-ends-early",
    severity: "error",
    message: `The file ends early: ${detail}.`,
    remedy: "Copy the picture again.",
  };
}
