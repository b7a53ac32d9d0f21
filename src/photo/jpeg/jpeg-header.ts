/**
 * Marker segments of a JPEG file (ISO/IEC 10918-1 annex B): the frame, the tables and the
 * application segments, each checked against its own length.
 */
import type { JpegComponent, JpegFrame, ScanComponent } from "./jpeg-frame.ts";
import { buildHuffmanTable, type HuffmanTable } from "./jpeg-huffman.ts";
import type { Band } from "./jpeg-progressive.ts";

/** One marker segment: its code and its payload without the length field. */
export interface Segment {
  readonly code: number;
  readonly payload: Uint8Array;
  /** Offset of the byte after the segment. */
  readonly end: number;
}

export interface JpegTables {
  readonly quant: (Uint16Array | null)[];
  readonly dc: (HuffmanTable | null)[];
  readonly ac: (HuffmanTable | null)[];
  restartInterval: number;
}

export function emptyTables(): JpegTables {
  const none = (): null[] => [null, null, null, null];
  return { quant: none(), dc: none(), ac: none(), restartInterval: 0 };
}

/**
 * Reads the next marker segment at or after `at`; null where the file ends before it is complete.
 * Bytes between segments that are no marker are passed over, as all readers do.
 */
export function nextSegment(bytes: Uint8Array, at: number): Segment | null {
  let place = bytes.indexOf(0xff, at);
  while (place >= 0 && place + 1 < bytes.length) {
    const code = bytes[place + 1];
    if (code === 0xff || code === 0 || code === 1 || (code >= 0xd0 && code <= 0xd7)) {
      place = bytes.indexOf(0xff, place + (code === 0xff ? 1 : 2));
      continue;
    }
    if (code === 0xd8 || code === 0xd9) {
      return { code, payload: bytes.subarray(place + 2, place + 2), end: place + 2 };
    }
    if (place + 4 > bytes.length) return null;
    const length = (bytes[place + 2] << 8) | bytes[place + 3];
    const end = place + 2 + length;
    if (length < 2 || end > bytes.length) return null;
    return { code, payload: bytes.subarray(place + 4, end), end };
  }
  return null;
}

/** Reads a DQT segment into the tables; false where it is malformed. */
export function readQuantTables(payload: Uint8Array, tables: JpegTables): boolean {
  let at = 0;
  while (at < payload.length) {
    const wide = payload[at] >> 4;
    const index = payload[at] & 15;
    at++;
    if (wide > 1 || index > 3 || at + 64 * (wide + 1) > payload.length) return false;
    const table = new Uint16Array(64);
    for (let k = 0; k < 64; k++) {
      table[k] = wide ? (payload[at + 2 * k] << 8) | payload[at + 2 * k + 1] : payload[at + k];
      if (table[k] === 0) return false;
    }
    tables.quant[index] = table;
    at += 64 * (wide + 1);
  }
  return true;
}

/** Reads a DHT segment into the tables; false where it is malformed. */
export function readHuffmanTables(payload: Uint8Array, tables: JpegTables): boolean {
  let at = 0;
  while (at < payload.length) {
    const kind = payload[at] >> 4;
    const index = payload[at] & 15;
    if (kind > 1 || index > 3 || at + 17 > payload.length) return false;
    const counts = payload.subarray(at + 1, at + 17);
    const total = counts.reduce((sum, count) => sum + count, 0);
    at += 17;
    if (total > 256 || at + total > payload.length) return false;
    const symbols = payload.subarray(at, at + total);
    const table = buildHuffmanTable(counts, symbols, kind === 0 ? "dc" : "ac");
    if (!table) return false;
    (kind === 0 ? tables.dc : tables.ac)[index] = table;
    at += total;
  }
  return true;
}

/** Reads a frame header (SOF0, SOF1, SOF2); null where it contradicts itself. */
export function readFrame(payload: Uint8Array, progressive: boolean): JpegFrame | null {
  if (payload.length < 6) return null;
  const height = (payload[1] << 8) | payload[2];
  const width = (payload[3] << 8) | payload[4];
  const count = payload[5];
  if (width === 0 || height === 0 || count < 1 || count > 4) return null;
  if (payload.length < 6 + 3 * count) return null;
  const parts = Array.from({ length: count }, (_, i) => {
    const at = 6 + 3 * i;
    const factors = payload[at + 1];
    return { id: payload[at], h: factors >> 4, v: factors & 15, quantIndex: payload[at + 2] };
  });
  if (parts.some((p) => p.h < 1 || p.h > 4 || p.v < 1 || p.v > 4 || p.quantIndex > 3)) return null;
  if (new Set(parts.map((p) => p.id)).size !== count) return null;
  const hMax = Math.max(...parts.map((p) => p.h));
  const vMax = Math.max(...parts.map((p) => p.v));
  const components = parts.map((p): JpegComponent => {
    const blocksWide = Math.ceil(Math.ceil((width * p.h) / hMax) / 8);
    const blocksHigh = Math.ceil(Math.ceil((height * p.v) / vMax) / 8);
    return { ...p, blocksWide, blocksHigh, quant: null };
  });
  const mcusWide = Math.ceil(width / (8 * hMax));
  const mcusHigh = Math.ceil(height / (8 * vMax));
  return { width, height, progressive, components, mcusWide, mcusHigh };
}

export interface ScanHeader {
  readonly scan: readonly ScanComponent[];
  readonly band: Band;
}

/** Reads an SOS segment; null where it contradicts the frame or lacks a table. */
export function readScanHeader(
  payload: Uint8Array,
  frame: JpegFrame,
  tables: JpegTables,
): ScanHeader | null {
  const count = payload[0];
  if (count < 1 || count > 4 || payload.length < 4 + 2 * count) return null;
  const tail = 1 + 2 * count;
  const approximation = payload[tail + 2];
  const band: Band = frame.progressive
    ? {
        first: payload[tail],
        last: payload[tail + 1],
        high: approximation >> 4,
        low: approximation & 15,
      }
    : { first: 0, last: 63, high: 0, low: 0 };
  if (!bandIsSound(band, frame.progressive, count)) return null;
  const scan: ScanComponent[] = [];
  let blocks = 0;
  for (let i = 0; i < count; i++) {
    const id = payload[1 + 2 * i];
    const choice = payload[2 + 2 * i];
    const component = frame.components.find((c) => c.id === id);
    if (!component || scan.some((s) => s.component === component)) return null;
    const dc = tables.dc[choice >> 4] ?? null;
    const ac = tables.ac[choice & 15] ?? null;
    const needsDc = band.first === 0 && band.high === 0;
    if ((needsDc && !dc) || (band.last > 0 && !ac)) return null;
    component.quant ??= tables.quant[component.quantIndex];
    if (!component.quant) return null;
    scan.push({ component, dc, ac });
    blocks += component.h * component.v;
  }
  return count > 1 && blocks > 10 ? null : { scan, band };
}

function bandIsSound(band: Band, progressive: boolean, count: number): boolean {
  if (!progressive) return true;
  if (band.first > band.last || band.last > 63 || band.low > 13) return false;
  if (band.high > 0 && band.high !== band.low + 1) return false;
  return band.first === 0 ? band.last === 0 : count === 1;
}
