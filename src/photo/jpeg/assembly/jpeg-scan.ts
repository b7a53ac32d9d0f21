/**
 * Sequential JPEG scans in WebAssembly (AssemblyScript source): the same work as
 * ../jpeg-sequential.ts for one grey component, with the cosine transform in 128-bit vectors.
 *
 * The caller puts tables and clean entropy data into the memory (layout in ../jpeg-scan-wasm.ts),
 * asks for one row of MCUs after the other and copies the rows out of the strip.
 */

import { block, transform } from "./jpeg-transform";

const channels: usize = 65536;
const channelBytes: usize = 32768;
const dcTable: usize = 0;
const acTable: usize = 16384;
const quantSteps: usize = 28672;
const longCodes: usize = 8192;
const longBases: usize = 8320;
const longEntries: usize = 8448;
/** Natural index of zigzag position k - 1 at byte k; the quantisation steps are kept likewise. */
const zigzag: usize = 196608;
/** Four 32-bit numbers per channel: columns, rows, DC limit (0: not wanted), prediction. */
const settings: usize = 197376;
const strip: usize = 262144;

let channelCount: i32 = 0;
let stripStride: usize = 0;
let buffer: u64 = 0;
let bits: i32 = 0;
let next: usize = 0;
let segmentEnd: usize = 0;

/** Starts a scan: number of channels and bytes per row of the strip. */
export function startScan(count: i32, stride: i32): void {
  channelCount = count;
  stripStride = <usize>stride;
}

/** Turns the clean data's 32-bit words round, so that one load gives bits in the file's order. */
export function turnWords(from: usize, to: usize): void {
  for (let at = from; at < to; at += 16) {
    const bytes = v128.load(at);
    v128.store(
      at,
      v128.shuffle<u8>(bytes, bytes, 3, 2, 1, 0, 7, 6, 5, 4, 11, 10, 9, 8, 15, 14, 13, 12),
    );
  }
}

/** Starts a restart interval whose data lies between two byte addresses. */
export function startSegment(from: usize, to: usize): void {
  const skip = (<i32>(from & 3)) << 3;
  next = from - (from & 3);
  buffer = (<u64>load<u32>(next)) << (32 + skip);
  bits = 32 - skip;
  next += 4;
  segmentEnd = to;
  for (let c = 0; c < channelCount; c++) store<i32>(settings + ((<usize>c) << 4) + 12, 0);
}

/** Byte address behind the last bit that was read, rounded up. */
export function bytePosition(): usize {
  return next - <usize>(bits >> 3);
}

/** True where the interval's remaining bytes are all alike, hence padding. */
export function restIsPadding(): bool {
  let at = bytePosition();
  if (at >= segmentEnd) return true;
  const padding = load<u8>(at ^ 3);
  for (; at < segmentEnd; at++) {
    if (load<u8>(at ^ 3) != padding) return false;
  }
  return true;
}

/** Decodes MCUs [from, to) of a row into the strip; returns where it stopped: `to` when all is well. */
export function decodeMcus(from: i32, to: i32): i32 {
  for (let column = from; column < to; column++) {
    for (let c = 0; c < channelCount; c++) {
      if (!decodeBlocks(c, column)) return column;
    }
    if (bytePosition() > segmentEnd) return column;
  }
  return to;
}

function decodeBlocks(c: i32, column: i32): bool {
  const tables = channels + <usize>c * channelBytes;
  const own = settings + ((<usize>c) << 4);
  const columns = load<i32>(own);
  const rows = load<i32>(own, 4);
  const limit = load<i32>(own, 8);
  if (limit == 0) {
    for (let i = columns * rows; i > 0; i--) {
      if (!skipBlock(tables)) return false;
    }
    return true;
  }
  let prediction = load<i32>(own, 12);
  for (let y = 0; y < rows; y++) {
    let out = strip + <usize>(y * 8) * stripStride + <usize>(column * columns * 8);
    for (let x = 0; x < columns; x++, out += 8) {
      const difference = readDifference(tables + dcTable);
      prediction += difference;
      if (difference == i32.MIN_VALUE || prediction > limit || prediction < -limit) return false;
      const used = readAc(tables + acTable, tables + quantSteps);
      if (used < 0) return false;
      const mean = prediction * <i32>load<u16>(tables + quantSteps, 2);
      if (used == 0) {
        fill(mean, out);
      } else {
        store<i16>(block, <i16>mean);
        transform(out, stripStride, used);
      }
    }
  }
  store<i32>(own + 12, prediction);
  return true;
}

function longEntry(table: usize, window: u32): i32 {
  for (let length = 12; length <= 16; length++) {
    const code = <i32>(window >>> (32 - length));
    const at = table + ((<usize>length) << 2);
    if (code <= load<i32>(at, longCodes)) {
      return load<i32>(table + ((<usize>(load<i32>(at, longBases) + code)) << 2), longEntries);
    }
  }
  return 0;
}

function skipBlock(tables: usize): bool {
  if (readDifference(tables + dcTable) == i32.MIN_VALUE) return false;
  const table = tables + acTable;
  let b = buffer;
  let n = bits;
  let p = next;
  let k = 1;
  while (k < 64) {
    if (n < 32) {
      b |= (<u64>load<u32>(p)) << (32 - n);
      p += 4;
      n += 32;
    }
    let entry = load<i32>(table + ((<usize>(b >>> 53)) << 2));
    if (entry == 0) {
      entry = longEntry(table, <u32>(b >>> 32));
      if (entry == 0) return false;
    }
    const total = entry & 63;
    b <<= total;
    n -= total;
    const advance = (entry >> 10) & 127;
    if (advance >= 64) break;
    k += advance;
  }
  buffer = b;
  bits = n;
  next = p;
  return k <= 64;
}

/** Signed value of the extra bits of a code at the head of the buffer. */
function valueBits(b: u64, total: i32, size: i32): i32 {
  const raw = <i32>((b << (total - size)) >>> (64 - size));
  return raw < 1 << (size - 1) ? raw - (1 << size) + 1 : raw;
}

function readDifference(table: usize): i32 {
  if (bits < 32) {
    buffer |= (<u64>load<u32>(next)) << (32 - bits);
    next += 4;
    bits += 32;
  }
  let entry = load<i32>(table + ((<usize>(buffer >>> 53)) << 2));
  if (entry == 0) {
    entry = longEntry(table, <u32>(buffer >>> 32));
    if (entry == 0) return i32.MIN_VALUE;
  }
  const total = entry & 63;
  const size = (entry >> 6) & 15;
  const value = size > 0 ? valueBits(buffer, total, size) : 0;
  buffer <<= total;
  bits -= total;
  return value;
}

function readAc(table: usize, quant: usize): i32 {
  let b = buffer;
  let n = bits;
  let p = next;
  let k = 1;
  let used = 0;
  while (k < 64) {
    if (n < 32) {
      b |= (<u64>load<u32>(p)) << (32 - n);
      p += 4;
      n += 32;
    }
    let entry = load<i32>(table + ((<usize>(b >>> 53)) << 2));
    let value = entry >> 17;
    if (value == 0) {
      if (entry == 0) {
        entry = longEntry(table, <u32>(b >>> 32));
        if (entry == 0) return -1;
      }
      const size = (entry >> 6) & 15;
      if (size == 0) {
        b <<= entry & 63;
        n -= entry & 63;
        const advance = (entry >> 10) & 127;
        if (advance >= 64) break;
        k += advance;
        continue;
      }
      value = valueBits(b, entry & 63, size);
    }
    b <<= entry & 63;
    n -= entry & 63;
    k += (entry >> 10) & 127;
    const place = <usize>load<u8>(zigzag + <usize>k);
    used |= <i32>place;
    store<i16>(block + (place << 1), <i16>(value * <i32>load<u16>(quant + ((<usize>k) << 1))));
  }
  buffer = b;
  bits = n;
  next = p;
  return k <= 64 ? used : -1;
}

function fill(mean: i32, out: usize): void {
  const grey = <u64>max(0, min(255, ((mean + 4) >> 3) + 128));
  const eight = grey * 0x0101010101010101;
  for (let row = 0; row < 8; row++) {
    store<u64>(out, eight);
    out += stripStride;
  }
}
