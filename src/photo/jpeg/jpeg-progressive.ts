/** Scans of progressive JPEG files (ISO/IEC 10918-1 annex G, Huffman). */
import { writeBlock } from "./jpeg-block-writer.ts";
import type { EntropyData } from "./jpeg-entropy.ts";
import {
  type JpegComponent,
  type JpegFrame,
  type Plane,
  type ScanComponent,
  type ScanFailure,
  scanGrid,
} from "./jpeg-frame.ts";
import { type HuffmanTable, longEntry, lookupShift } from "./jpeg-huffman.ts";
import { zigzag } from "./jpeg-idct.ts";
import { endsCleanly } from "./jpeg-sequential.ts";

/** Which coefficients and which of their bits a scan carries. */
export interface Band {
  /** First and last zigzag position. */
  readonly first: number;
  readonly last: number;
  /** Bit position of the scan before (0 for a first scan) and of this one. */
  readonly high: number;
  readonly low: number;
}

/** Quantised coefficients of one component, gathered over the scans. */
export interface CoefficientStore {
  readonly component: JpegComponent;
  /** Blocks of a row, whole MCUs. */
  readonly stride: number;
  /** 64 numbers per block in zigzag order. */
  readonly coefficients: Int16Array;
  /** Bits still missing of every coefficient: -1 nothing came yet, 0 complete. */
  readonly missing: Int8Array;
}

/** Makes an empty store, padded to whole MCUs. */
export function makeStore(frame: JpegFrame, component: JpegComponent): CoefficientStore {
  const stride = frame.mcusWide * component.h;
  const rows = frame.mcusHigh * component.v;
  return {
    component,
    stride,
    coefficients: new Int16Array(stride * rows * 64),
    missing: new Int8Array(64).fill(-1),
  };
}

interface Channel {
  readonly store: CoefficientStore | null;
  readonly dc: HuffmanTable | null;
  readonly ac: HuffmanTable | null;
  readonly columns: number;
  readonly rows: number;
  prediction: number;
}

/** Bit position and end-of-band run, passed from block to block. */
interface Reader {
  readonly view: DataView;
  position: number;
  run: number;
}

type BlockDecoder = (reader: Reader, channel: Channel, offset: number, band: Band) => boolean;

/**
 * Decodes one progressive scan into the stores of those components that have one. Returns null
 * when every block of the scan was there.
 */
export function decodeProgressiveScan(
  frame: JpegFrame,
  scan: readonly ScanComponent[],
  band: Band,
  entropy: EntropyData,
  restartInterval: number,
  stores: readonly CoefficientStore[],
): ScanFailure | null {
  const { wide, high, rowsPerUnit } = scanGrid(frame, scan);
  const channels = scan.map((part): Channel => {
    const { component, dc, ac } = part;
    const store = stores.find((s) => s.component === component) ?? null;
    const columns = scan.length > 1 ? component.h : 1;
    const rows = scan.length > 1 ? component.v : 1;
    return { store, dc, ac, columns, rows, prediction: 0 };
  });
  const decode = chooseDecoder(band);
  const reader: Reader = { view: entropy.view, position: 0, run: 0 };
  const { ends } = entropy;
  const interval = restartInterval || wide * high;
  let segment = 0;
  let left = interval;
  for (let row = 0; row < high; row++) {
    for (let column = 0; column < wide; column++) {
      if (left === 0) {
        if (!endsCleanly(entropy, reader.position, segment)) return failure("damaged");
        reader.position = ends[segment++];
        reader.run = 0;
        left = interval;
        if (segment === ends.length) return failure("ends early");
        for (const channel of channels) channel.prediction = 0;
      }
      left--;
      if (!decodeUnit(reader, channels, column, row, band, decode)) return failure("damaged");
      if (reader.position > ends[segment]) {
        return failure(segment === ends.length - 1 ? "ends early" : "damaged");
      }
    }

    function failure(kind: ScanFailure["kind"]): ScanFailure {
      return { kind, rows: Math.min(row * rowsPerUnit, frame.height) };
    }
  }
  if (segment !== ends.length - 1 || !endsCleanly(entropy, reader.position, segment)) {
    return { kind: "damaged", rows: frame.height };
  }
  for (const { store } of channels) store?.missing.fill(band.low, band.first, band.last + 1);
  return null;
}

function chooseDecoder(band: Band): BlockDecoder {
  if (band.first === 0) return band.high === 0 ? dcFirst : dcRefine;
  return band.high === 0 ? acFirst : acRefine;
}

function decodeUnit(
  reader: Reader,
  channels: readonly Channel[],
  column: number,
  row: number,
  band: Band,
  decode: BlockDecoder,
): boolean {
  for (const channel of channels) {
    const { columns, rows, store } = channel;
    const stride = store ? store.stride : 0;
    for (let y = 0; y < rows; y++) {
      for (let x = 0; x < columns; x++) {
        const offset = ((row * rows + y) * stride + column * columns + x) * 64;
        if (!decode(reader, channel, offset, band)) return false;
      }
    }
  }
  return true;
}

/** The next bits, left-aligned; at least 25 of the 32 are valid. */
function peek(reader: Reader): number {
  return reader.view.getInt32(reader.position >>> 3) << (reader.position & 7);
}

/** Reads 1 to 16 bits. */
function readBits(reader: Reader, count: number): number {
  const bits = peek(reader) >>> (32 - count);
  reader.position += count;
  return bits;
}

/** Reads a code without its extra bits; 0 where there is no such code. */
function readEntry(reader: Reader, table: HuffmanTable): number {
  const window = peek(reader);
  const entry = table.lookup[window >>> lookupShift] || longEntry(table, window);
  reader.position += (entry & 63) - ((entry >> 6) & 15);
  return entry;
}

function readSigned(reader: Reader, size: number): number {
  const bits = readBits(reader, size);
  return bits < 1 << (size - 1) ? bits - (1 << size) + 1 : bits;
}

function dcFirst(reader: Reader, channel: Channel, offset: number, band: Band): boolean {
  const entry = readEntry(reader, channel.dc as HuffmanTable);
  if (entry === 0) return false;
  const size = (entry >> 6) & 15;
  if (size > 0) channel.prediction += readSigned(reader, size);
  const value = channel.prediction << band.low;
  if (channel.store) channel.store.coefficients[offset] = value;
  return value >= -32768 && value <= 32767;
}

function dcRefine(reader: Reader, channel: Channel, offset: number, band: Band): boolean {
  const bit = readBits(reader, 1);
  if (channel.store) channel.store.coefficients[offset] |= bit << band.low;
  return true;
}

/** Length of an end-of-band run whose code has `bits` extra bits. */
function readRun(reader: Reader, bits: number): number {
  return (1 << bits) + (bits > 0 ? readBits(reader, bits) : 0);
}

function acFirst(reader: Reader, channel: Channel, offset: number, band: Band): boolean {
  if (reader.run > 0) {
    reader.run--;
    return true;
  }
  const { coefficients } = channel.store as CoefficientStore;
  const table = channel.ac as HuffmanTable;
  let next = band.first;
  while (next <= band.last) {
    const entry = readEntry(reader, table);
    if (entry === 0) return false;
    const size = (entry >> 6) & 15;
    const advance = (entry >> 10) & 127;
    if (advance >= 64) {
      reader.run = readRun(reader, advance - 64) - 1;
      return true;
    }
    next += advance;
    if (next > band.last + 1) return false;
    if (size > 0) coefficients[offset + next - 1] = readSigned(reader, size) << band.low;
  }
  return true;
}

function acRefine(reader: Reader, channel: Channel, offset: number, band: Band): boolean {
  const { coefficients } = channel.store as CoefficientStore;
  const table = channel.ac as HuffmanTable;
  const one = 1 << band.low;
  let at = offset + band.first;
  const end = offset + band.last + 1;
  if (reader.run === 0) {
    while (at < end) {
      const entry = readEntry(reader, table);
      if (entry === 0) return false;
      const size = (entry >> 6) & 15;
      const advance = (entry >> 10) & 127;
      if (advance >= 64) {
        reader.run = readRun(reader, advance - 64);
        break;
      }
      if (size > 1) return false;
      const value = size === 0 ? 0 : readBits(reader, 1) === 1 ? one : -one;
      at = refineOverZeros(reader, coefficients, at, end, advance - 1, one);
      if (value !== 0) {
        if (at >= end) return false;
        coefficients[at] = value;
      }
      at++;
    }
  }
  if (reader.run > 0) {
    refineOverZeros(reader, coefficients, at, end, 64, one);
    reader.run--;
  }
  return true;
}

/**
 * Reads the correction bit of every non-zero coefficient on the way over `zeros` zero ones; returns
 * the place of the zero coefficient after them, or `end`.
 */
function refineOverZeros(
  reader: Reader,
  coefficients: Int16Array,
  start: number,
  end: number,
  zeros: number,
  one: number,
): number {
  let left = zeros;
  let at = start;
  for (; at < end; at++) {
    const value = coefficients[at];
    if (value === 0) {
      if (left-- === 0) break;
    } else if (readBits(reader, 1) === 1 && (value & one) === 0) {
      coefficients[at] = value > 0 ? value + one : value - one;
    }
  }
  return at;
}

/** Transforms the gathered coefficients into the plane. */
export function renderStore(store: CoefficientStore, plane: Plane): void {
  const { component, coefficients, stride } = store;
  const quant = component.quant as Uint16Array;
  const block = new Int32Array(65);
  for (let row = 0; row < component.blocksHigh; row++) {
    for (let column = 0; column < component.blocksWide; column++) {
      const offset = (row * stride + column) * 64;
      let used = 0;
      for (let k = 0; k < 64; k++) {
        const value = coefficients[offset + k];
        if (value === 0) continue;
        block[zigzag[k]] = value * quant[k];
        used |= zigzag[k];
      }
      writeBlock(plane, column, row, block, used);
    }
  }
}
