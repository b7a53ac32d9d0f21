/** Scans of sequential JPEG files (baseline and extended, ISO/IEC 10918-1 annex F, Huffman). */
import { writeBlock } from "./jpeg-block-writer.ts";
import type { EntropyData } from "./jpeg-entropy.ts";
import {
  dcLimit,
  type JpegFrame,
  type Plane,
  type ScanComponent,
  type ScanFailure,
  scanGrid,
} from "./jpeg-frame.ts";
import { type HuffmanTable, longEntry, lookupShift } from "./jpeg-huffman.ts";
import { zigzag } from "./jpeg-idct.ts";

/** What one decoder step hands back beside the new bit position. */
interface BlockState {
  /** Dequantised coefficients in natural order; entry 64 catches runs that leave the block. */
  readonly block: Int32Array;
  /** Natural indices of the block's AC coefficients joined by bitwise or. */
  used: number;
  /** DC difference of the block. */
  difference: number;
}

/** A component of the scan with everything its blocks need. */
interface Channel {
  readonly dc: HuffmanTable;
  readonly ac: HuffmanTable;
  readonly quant: Uint16Array;
  readonly columns: number;
  readonly rows: number;
  readonly plane: Plane | null;
  /** Largest DC value (quantised) that a damaged stream is not suspected for. */
  readonly dcLimit: number;
  prediction: number;
}

/**
 * Decodes one sequential scan into the planes of those components that have one; the others are
 * read over. Returns null when every MCU of the scan was there.
 */
export function decodeSequentialScan(
  frame: JpegFrame,
  scan: readonly ScanComponent[],
  entropy: EntropyData,
  restartInterval: number,
  planes: readonly Plane[],
): ScanFailure | null {
  const { wide, high, rowsPerUnit } = scanGrid(frame, scan);
  const channels = scan.map((s) => makeChannel(s, scan.length > 1, planes));
  const state: BlockState = { block: new Int32Array(65), used: 0, difference: 0 };
  const { view, ends } = entropy;
  const interval = restartInterval || wide * high;
  let position = 0;
  let segment = 0;
  let left = interval;
  for (let row = 0; row < high; row++) {
    for (let column = 0; column < wide; column++) {
      if (left === 0) {
        if (!endsCleanly(entropy, position, segment)) return failure("damaged");
        position = ends[segment++];
        left = interval;
        if (segment === ends.length) return failure("ends early");
        for (const channel of channels) channel.prediction = 0;
      }
      left--;
      position = decodeMcu(view, position, channels, column, row, state);
      const reached = position < 0 ? ~position : position;
      if (reached > ends[segment] && segment === ends.length - 1) return failure("ends early");
      if (position < 0 || position > ends[segment]) return failure("damaged");
    }

    function failure(kind: ScanFailure["kind"]): ScanFailure {
      return { kind, rows: Math.min(row * rowsPerUnit, frame.height) };
    }
  }
  if (segment !== ends.length - 1 || !endsCleanly(entropy, position, segment)) {
    return { kind: "damaged", rows: frame.height };
  }
  return null;
}

/**
 * True where nothing but padding follows in this restart interval: a decoder that lost its way in
 * damaged data nearly always ends too soon or too late.
 */
export function endsCleanly(entropy: EntropyData, position: number, segment: number): boolean {
  const end = entropy.ends[segment] >>> 3;
  const first = (position + 7) >>> 3;
  const padding = first < end ? entropy.view.getUint8(first) : 0;
  for (let at = first; at < end; at++) {
    if (entropy.view.getUint8(at) !== padding) return false;
  }
  return true;
}

function makeChannel(part: ScanComponent, interleaved: boolean, planes: readonly Plane[]): Channel {
  const { component, dc, ac } = part;
  const quant = component.quant;
  if (!dc || !ac || !quant) throw new Error("a sequential scan was started without its tables");
  return {
    dc,
    ac,
    quant,
    columns: interleaved ? component.h : 1,
    rows: interleaved ? component.v : 1,
    plane: planes.find((p) => p.component === component) ?? null,
    dcLimit: dcLimit(quant),
    prediction: 0,
  };
}

function decodeMcu(
  view: DataView,
  start: number,
  channels: readonly Channel[],
  column: number,
  row: number,
  state: BlockState,
): number {
  let position = start;
  for (let c = 0; c < channels.length; c++) {
    const channel = channels[c];
    const { plane, columns, rows } = channel;
    for (let y = 0; y < rows; y++) {
      for (let x = 0; x < columns; x++) {
        position = readDifference(view, position, channel.dc, state);
        if (position < 0) return position;
        channel.prediction += state.difference;
        if (plane !== null && Math.abs(channel.prediction) > channel.dcLimit) return ~position;
        if (plane === null) position = skipAc(view, position, channel.ac);
        else position = readAc(view, position, channel.ac, channel.quant, state);
        if (position < 0) return position;
        if (plane !== null) {
          state.block[0] = channel.prediction * channel.quant[0];
          writeBlock(plane, column * columns + x, row * rows + y, state.block, state.used);
        }
      }
    }
  }
  return position;
}

/**
 * Reads a DC difference into `state`. Returns the new bit position, where damaged the complement (~)
 * of the position reached.
 */
function readDifference(
  view: DataView,
  position: number,
  table: HuffmanTable,
  state: BlockState,
): number {
  const window = view.getInt32(position >>> 3) << (position & 7);
  let entry = table.lookup[window >>> lookupShift];
  let value = entry >> 17;
  if (value === 0) {
    if (entry === 0) entry = longEntry(table, window);
    if (entry === 0) return ~position;
    const size = (entry >> 6) & 15;
    if (size > 0) value = extraBits(view, position + (entry & 63) - size, size);
  }
  state.difference = value;
  return position + (entry & 63);
}

/** Signed value of the `size` bits (1..15) at a bit position. */
function extraBits(view: DataView, position: number, size: number): number {
  const bits = (view.getInt32(position >>> 3) << (position & 7)) >>> (32 - size);
  return bits < 1 << (size - 1) ? bits - (1 << size) + 1 : bits;
}

/**
 * Reads the 63 AC coefficients of a block, dequantised, into `state`.
 * Returns the new bit position, where damaged the complement (~) of the position reached.
 */
function readAc(
  view: DataView,
  start: number,
  table: HuffmanTable,
  quant: Uint16Array,
  state: BlockState,
): number {
  const { lookup } = table;
  const { block } = state;
  let position = start;
  let next = 1;
  let used = 0;
  while (next < 64) {
    const window = view.getInt32(position >>> 3) << (position & 7);
    let entry = lookup[window >>> lookupShift];
    let value = entry >> 17;
    if (value === 0) {
      if (entry === 0) entry = longEntry(table, window);
      if (entry === 0) return ~start;
      const size = (entry >> 6) & 15;
      if (size === 0) {
        position += entry & 63;
        const advance = (entry >> 10) & 127;
        if (advance >= 64) break;
        next += advance;
        continue;
      }
      value = extraBits(view, position + (entry & 63) - size, size);
    }
    position += entry & 63;
    next += (entry >> 10) & 127;
    const natural = zigzag[next - 1];
    used |= natural;
    block[natural] = value * quant[next - 1];
  }
  state.used = used;
  return next > 64 ? ~position : position;
}

/** Reads over the 63 AC coefficients of a block. */
function skipAc(view: DataView, start: number, table: HuffmanTable): number {
  const { lookup } = table;
  let position = start;
  let next = 1;
  while (next < 64) {
    const window = view.getInt32(position >>> 3) << (position & 7);
    let entry = lookup[window >>> lookupShift];
    if (entry === 0) entry = longEntry(table, window);
    if (entry === 0) return ~start;
    position += entry & 63;
    const advance = (entry >> 10) & 127;
    if (advance >= 64) break;
    next += advance;
  }
  return next > 64 ? ~position : position;
}
