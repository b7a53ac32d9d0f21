/** What a HEIF file (ISO/IEC 23008-12) says about its main picture, without decoding it. */

import { type Box, BoxError, Bytes, boxOf } from "./boxes.ts";
import { type Items, itemsOf } from "./items.ts";

export interface HeifFacts {
  /** The stored picture before any cut, turn or flip, px; null where the file does not say. */
  readonly size: { readonly width: number; readonly height: number } | null;
  /** The part of the stored picture that is meant to be seen, px; null for all of it. */
  readonly cut: HeifCut | null;
  /** How the file wants the picture shown, in EXIF's numbers 1 .. 8. */
  readonly orientation: number;
  /** The TIFF block of its EXIF. */
  readonly exif: Uint8Array | null;
  /** Pictures that stand for themselves: no previews, depth maps or tiles. */
  readonly pictures: number;
}

export interface HeifCut {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/**
 * Null where the boxes are damaged or name no main picture. Only the file's own turn and flip count:
 * EXIF's orientation is a remark in this format (23008-12, A.2), and phones write both, so that
 * obeying both would turn a picture twice.
 */
export function readHeif(bytes: Uint8Array): HeifFacts | null {
  try {
    const meta = boxOf(new Bytes(bytes, 0).boxes(), "meta");
    if (!meta) return null;
    meta.head();
    const items = itemsOf(meta.boxes());
    return items && factsOf(items, bytes);
  } catch (error) {
    if (error instanceof BoxError) return null;
    throw error;
  }
}

function factsOf(items: Items, bytes: Uint8Array): HeifFacts {
  const properties = items.propertiesOf(items.primary);
  const size = sizeIn(properties);
  return {
    size,
    cut: size && cutIn(properties, size),
    orientation: orientationIn(properties),
    exif: exifOf(items, bytes),
    pictures: items.standing.length,
  };
}

function sizeIn(properties: readonly Box[]): HeifFacts["size"] {
  const ispe = boxOf(properties, "ispe");
  if (!ispe) return null;
  ispe.head();
  return { width: ispe.u32(), height: ispe.u32() };
}

/** The clean aperture (14496-12, 12.1.4), which readers apply before turn and flip. */
function cutIn(
  properties: readonly Box[],
  { width, height }: { readonly width: number; readonly height: number },
): HeifCut | null {
  const clap = boxOf(properties, "clap");
  if (!clap) return null;
  const ratio = () => clap.i32() / clap.i32();
  const [wide, high, right, down] = [ratio(), ratio(), ratio(), ratio()];
  const left = Math.round((width - 1) / 2 + right - (wide - 1) / 2);
  const top = Math.round((height - 1) / 2 + down - (high - 1) / 2);
  const cut = { left, top, width: Math.round(wide), height: Math.round(high) };
  const inside =
    left >= 0 &&
    top >= 0 &&
    cut.width > 0 &&
    cut.height > 0 &&
    left + cut.width <= width &&
    top + cut.height <= height;
  return inside ? cut : null;
}

/** Linear part a b c d of EXIF's eight turns: x' = a x + c y, y' = b x + d y, y down. */
const turns: readonly (readonly number[])[] = [
  [1, 0, 0, 1],
  [-1, 0, 0, 1],
  [-1, 0, 0, -1],
  [1, 0, 0, -1],
  [0, 1, 1, 0],
  [0, 1, -1, 0],
  [0, -1, -1, 0],
  [0, -1, 1, 0],
];

/** Turns (irot, quarter turns counter-clockwise) and flips (imir), in the order of the file. */
function orientationIn(properties: readonly Box[]): number {
  let turn = turns[0];
  for (const { type, data } of properties) {
    if (type === "irot") {
      const quarters = new Bytes(data.bytes, 0).u8() & 3;
      for (let i = 0; i < quarters; i++) turn = after(turn, turns[7]);
    }
    // 0: top and bottom change places; 1: left and right.
    if (type === "imir") turn = after(turn, turns[new Bytes(data.bytes, 0).u8() & 1 ? 1 : 3]);
  }
  return turns.findIndex((known) => known.every((value, i) => value === turn[i])) + 1;
}

/** `then` applied to what `first` gives. */
function after(first: readonly number[], then: readonly number[]): readonly number[] {
  const [a, b, c, d] = first;
  const [e, f, g, h] = then;
  // Adding 0 makes 0 of -0.
  return [e * a + g * b, f * a + h * b, e * c + g * d, f * c + h * d].map((value) => value + 0);
}

/** The item begins with the length of what stands before the TIFF block (A.2.1). */
function exifOf(items: Items, bytes: Uint8Array): Uint8Array | null {
  const item = items.ofType("Exif");
  const payload = item === null ? null : items.contentOf(item, bytes);
  if (!payload || payload.length < 12) return null;
  const skip = new Bytes(payload, 0).u32();
  return skip + 4 < payload.length ? payload.subarray(4 + skip) : null;
}
