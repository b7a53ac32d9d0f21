/**
 * Sequential JPEG scans in WebAssembly (AssemblyScript source): the same work as
 * ../jpeg-sequential.ts for one grey component, with the cosine transform in 128-bit vectors.
 *
 * The caller puts tables and clean entropy data into the memory (layout in ../jpeg-scan-memory.ts),
 * asks for one row of MCUs after the other and copies the rows out of the strip.
 */

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
/** Coefficients of one block, 64 16-bit numbers and room for runs that leave the block. */
const block: usize = 196864;
const work: usize = 197120;
/** Sums of one pass before they are scaled: eight rows of eight 32-bit numbers. */
const sums: usize = 197504;
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
        transform(out);
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

/** Transforms the block into eight rows at `out` and clears it. */
function transform(out: usize): void {
  pass(block, 1 << 10, 11);
  transpose();
  pass(work, 1 << 17, 18);
  transpose();
  const zero = i64x2.splat(0);
  const middle = i8x16.splat(-128);
  for (let row: usize = 0; row < 128; row += 32) {
    const values = i8x16.narrow_i16x8_s(v128.load(work + row), v128.load(work + row, 16));
    const grey = v128.xor(values, middle);
    store<i64>(out, i64x2.extract_lane(grey, 0));
    store<i64>(out + stripStride, i64x2.extract_lane(grey, 1));
    out += stripStride << 1;
    v128.store(block + row, zero);
    v128.store(block + row, zero, 16);
  }
}

function low(a: v128, b: v128): v128 {
  return v128.shuffle<i16>(a, b, 0, 8, 1, 9, 2, 10, 3, 11);
}

function high(a: v128, b: v128): v128 {
  return v128.shuffle<i16>(a, b, 4, 12, 5, 13, 6, 14, 7, 15);
}

/**
 * One-dimensional transform of eight columns at once (Loeffler, Ligtenberg and Moschytz, 13-bit
 * constants), from eight vectors of 16-bit numbers at `from` to the work space.
 */
function pass(from: usize, rounding: i32, shift: i32): void {
  const i0 = v128.load(from);
  const i1 = v128.load(from, 16);
  const i2 = v128.load(from, 32);
  const i3 = v128.load(from, 48);
  const i4 = v128.load(from, 64);
  const i5 = v128.load(from, 80);
  const i6 = v128.load(from, 96);
  const i7 = v128.load(from, 112);
  const z3 = i16x8.add(i3, i7);
  const z4 = i16x8.add(i1, i5);
  halfPass(low(i0, i4), low(i2, i6), low(z3, z4), low(i1, i7), low(i3, i5), rounding, sums);
  halfPass(
    high(i0, i4),
    high(i2, i6),
    high(z3, z4),
    high(i1, i7),
    high(i3, i5),
    rounding,
    sums + 16,
  );
  for (let row: usize = 0; row < 8; row++) {
    const l = i32x4.shr_s(v128.load(sums + (row << 5)), shift);
    const h = i32x4.shr_s(v128.load(sums + (row << 5), 16), shift);
    v128.store(work + (row << 4), i16x8.narrow_i32x4_s(l, h));
  }
}

/** Four columns; inputs are pairs of rows, so that two products and their sum are one step. */
function halfPass(
  i04: v128,
  i26: v128,
  z34: v128,
  i17: v128,
  i35: v128,
  rounding: i32,
  to: usize,
): void {
  const round = i32x4.splat(rounding);
  const sum = i32x4.add(round, i32x4.dot_i16x8_s(i04, i32x4.splat(pair(8192, 8192))));
  const difference = i32x4.add(round, i32x4.dot_i16x8_s(i04, i32x4.splat(pair(8192, -8192))));
  const outer = i32x4.dot_i16x8_s(i26, i32x4.splat(pair(10703, 4433)));
  const inner = i32x4.dot_i16x8_s(i26, i32x4.splat(pair(4433, -10704)));
  const e0 = i32x4.add(sum, outer);
  const e1 = i32x4.add(difference, inner);
  const e2 = i32x4.sub(difference, inner);
  const e3 = i32x4.sub(sum, outer);
  const z3 = i32x4.dot_i16x8_s(z34, i32x4.splat(pair(-6436, 9633)));
  const z4 = i32x4.dot_i16x8_s(z34, i32x4.splat(pair(9633, 6437)));
  const o0 = i32x4.add(z4, i32x4.dot_i16x8_s(i17, i32x4.splat(pair(4926, -7373))));
  const o1 = i32x4.add(z3, i32x4.dot_i16x8_s(i35, i32x4.splat(pair(4177, -20995))));
  const o2 = i32x4.add(z4, i32x4.dot_i16x8_s(i35, i32x4.splat(pair(-20995, -4176))));
  const o3 = i32x4.add(z3, i32x4.dot_i16x8_s(i17, i32x4.splat(pair(-7373, -4927))));
  v128.store(to, i32x4.add(e0, o0));
  v128.store(to, i32x4.add(e1, o1), 32);
  v128.store(to, i32x4.add(e2, o2), 64);
  v128.store(to, i32x4.add(e3, o3), 96);
  v128.store(to, i32x4.sub(e3, o3), 128);
  v128.store(to, i32x4.sub(e2, o2), 160);
  v128.store(to, i32x4.sub(e1, o1), 192);
  v128.store(to, i32x4.sub(e0, o0), 224);
}

/** Two 16-bit factors in one 32-bit number, the first in the low half. */
function pair(first: i32, second: i32): i32 {
  return (first & 0xffff) | (second << 16);
}

/** Turns rows of the 8 x 8 work space into columns: interleaving three times. */
function transpose(): void {
  const a0 = v128.load(work);
  const a1 = v128.load(work, 16);
  const a2 = v128.load(work, 32);
  const a3 = v128.load(work, 48);
  const a4 = v128.load(work, 64);
  const a5 = v128.load(work, 80);
  const a6 = v128.load(work, 96);
  const a7 = v128.load(work, 112);
  const b0 = low(a0, a4);
  const b1 = high(a0, a4);
  const b2 = low(a1, a5);
  const b3 = high(a1, a5);
  const b4 = low(a2, a6);
  const b5 = high(a2, a6);
  const b6 = low(a3, a7);
  const b7 = high(a3, a7);
  const c0 = low(b0, b4);
  const c1 = high(b0, b4);
  const c2 = low(b1, b5);
  const c3 = high(b1, b5);
  const c4 = low(b2, b6);
  const c5 = high(b2, b6);
  const c6 = low(b3, b7);
  const c7 = high(b3, b7);
  v128.store(work, low(c0, c4));
  v128.store(work, high(c0, c4), 16);
  v128.store(work, low(c1, c5), 32);
  v128.store(work, high(c1, c5), 48);
  v128.store(work, low(c2, c6), 64);
  v128.store(work, high(c2, c6), 80);
  v128.store(work, low(c3, c7), 96);
  v128.store(work, high(c3, c7), 112);
}
