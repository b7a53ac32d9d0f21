/** Writes small EXIF blocks for tests (TIFF 6.0, CIPA DC-008). */

export type ExifValue = string | number | readonly [number, number];

const shortType = 3;
const longType = 4;
const rationalType = 5;

interface Entry {
  readonly tag: number;
  readonly value: ExifValue;
}

/** TIFF data with the main directory's and the EXIF directory's entries. */
export function writeTiff(
  main: Readonly<Record<number, ExifValue>>,
  detail: Readonly<Record<number, ExifValue>>,
  littleEndian: boolean,
): Uint8Array {
  const view = new DataView(new ArrayBuffer(2048));
  view.setUint16(0, littleEndian ? 0x4949 : 0x4d4d);
  view.setUint16(2, 42, littleEndian);
  view.setUint32(4, 8, littleEndian);
  const list = (from: Readonly<Record<number, ExifValue>>): Entry[] =>
    Object.entries(from).map(([tag, value]) => ({ tag: Number(tag), value }));
  const first = list(main);
  const detailAt = 8 + 2 + 12 * (first.length + 1) + 4;
  first.push({ tag: 0x8769, value: detailAt });
  const second = list(detail);
  let free = detailAt + 2 + 12 * second.length + 4;
  const directory = (at: number, entries: readonly Entry[]): void => {
    view.setUint16(at, entries.length, littleEndian);
    for (const [i, { tag, value }] of entries.entries()) {
      const place = at + 2 + 12 * i;
      view.setUint16(place, tag, littleEndian);
      if (typeof value === "number") {
        const long = value > 65535 || tag === 0x8769;
        view.setUint16(place + 2, long ? longType : shortType, littleEndian);
        view.setUint32(place + 4, 1, littleEndian);
        if (long) view.setUint32(place + 8, value, littleEndian);
        else view.setUint16(place + 8, value, littleEndian);
        continue;
      }
      const text = typeof value === "string" ? `${value}\0` : null;
      view.setUint16(place + 2, text === null ? rationalType : 2, littleEndian);
      view.setUint32(place + 4, text === null ? 1 : text.length, littleEndian);
      const inline = text !== null && text.length <= 4;
      const target = inline ? place + 8 : free;
      if (!inline) view.setUint32(place + 8, free, littleEndian);
      if (text !== null) {
        for (let n = 0; n < text.length; n++) view.setUint8(target + n, text.charCodeAt(n));
      } else if (Array.isArray(value)) {
        view.setUint32(target, value[0], littleEndian);
        view.setUint32(target + 4, value[1], littleEndian);
      }
      if (!inline) free += text === null ? 8 : text.length + (text.length & 1);
    }
  };
  directory(8, first);
  directory(detailAt, second);
  return new Uint8Array(view.buffer, 0, free);
}

/** The JPEG with an APP1 segment that carries the TIFF data, right behind its start. */
export function withExif(jpeg: Uint8Array, tiff: Uint8Array): Uint8Array {
  const length = 2 + 6 + tiff.length;
  const head = [0xff, 0xd8, 0xff, 0xe1, length >> 8, length & 255];
  const name = [...Buffer.from("Exif\0\0")];
  return new Uint8Array(Buffer.concat([Buffer.from([...head, ...name]), tiff, jpeg.subarray(2)]));
}

/** A plain WebP of w x h with EXIF: an extended file with three chunks (RFC 9649, 2.7). */
export function webpWithExif(webp: Uint8Array, w: number, h: number, tiff: Uint8Array): Uint8Array {
  const chunk = (name: string, data: Uint8Array): Buffer => {
    const head = Buffer.alloc(8);
    head.write(name, "latin1");
    head.writeUInt32LE(data.length, 4);
    return Buffer.concat([head, data, Buffer.alloc(data.length & 1)]);
  };
  const canvas = Buffer.alloc(10);
  canvas[0] = 0x08;
  canvas.writeUIntLE(w - 1, 4, 3);
  canvas.writeUIntLE(h - 1, 7, 3);
  const inside = [chunk("VP8X", canvas), webp.subarray(12), chunk("EXIF", tiff)];
  return new Uint8Array(chunk("RIFF", Buffer.concat([Buffer.from("WEBP"), ...inside])));
}

/**
 * EXIF with an orientation and, in a second directory, the small JPEG that cameras store with a
 * photo (DC-008 4.6.8).
 */
export function tiffWithPreview(
  small: Uint8Array,
  orientation: number,
  littleEndian: boolean,
): Uint8Array {
  const tiff = writeTiff({ 274: orientation }, {}, littleEndian);
  const directoryBytes = 2 + 2 * 12 + 4;
  const at = tiff.length + directoryBytes;
  const block = new Uint8Array(at + small.length);
  block.set(tiff);
  block.set(small, at);
  const view = new DataView(block.buffer);
  // The main directory holds the orientation and the pointer to the EXIF directory.
  view.setUint32(8 + 2 + 12 * 2, tiff.length, littleEndian);
  view.setUint16(tiff.length, 2, littleEndian);
  for (const [i, [tag, value]] of [
    [0x0201, at],
    [0x0202, small.length],
  ].entries()) {
    const place = tiff.length + 2 + 12 * i;
    view.setUint16(place, tag, littleEndian);
    view.setUint16(place + 2, longType, littleEndian);
    view.setUint32(place + 4, 1, littleEndian);
    view.setUint32(place + 8, value, littleEndian);
  }
  return block;
}

/** The JPEG with {@link tiffWithPreview}. */
export const withPreview = (jpeg: Uint8Array, small: Uint8Array, orientation: number): Uint8Array =>
  withExif(jpeg, tiffWithPreview(small, orientation, true));
