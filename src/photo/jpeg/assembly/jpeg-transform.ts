/** Inverse 8 x 8 cosine transform in 128-bit vectors; the same arithmetic as ../jpeg-idct.ts. */

/** Coefficients of one block, 64 16-bit numbers and room for runs that leave the block. */
export const block: usize = 196864;
/** The block after the first pass, and after the second; 64 16-bit numbers each. */
const work: usize = 197120;
const done: usize = 197248;
/** From four columns to the next four: in eight rows of eight, and in what `fours` writes. */
const nextColumns: usize = 8;
const nextFours: usize = 64;

/**
 * Transforms the block into eight rows at `out`, `stride` bytes apart, and clears it. `used` is the
 * bitwise or of the places (row * 8 + column) of all coefficients but the first: most blocks have
 * none in the last four columns, many none in the last four rows, and what is zero is left out.
 */
export function transform(out: usize, stride: usize, used: i32): void {
  if (used & 4) {
    fours(block, work, 1 << 10, 11);
    fours(block + nextColumns, work + nextFours, 1 << 10, 11);
    turn(work);
    turn(work + nextFours);
    fours(work, done, 1 << 17, 18);
    fours(work + nextColumns, done + nextFours, 1 << 17, 18);
  } else {
    if (used & 32) fours(block, work, 1 << 10, 11);
    else upperFours(block, work, 1 << 10, 11);
    turn(work);
    upperFours(work, done, 1 << 17, 18);
    upperFours(work + nextColumns, done + nextFours, 1 << 17, 18);
  }
  turn(done);
  turn(done + nextFours);
  const zero = i64x2.splat(0);
  const middle = i8x16.splat(-128);
  for (let row: usize = 0; row < 128; row += 32) {
    const values = i8x16.narrow_i16x8_s(v128.load(done + row), v128.load(done + row, 16));
    const grey = v128.xor(values, middle);
    store<i64>(out, i64x2.extract_lane(grey, 0));
    store<i64>(out + stride, i64x2.extract_lane(grey, 1));
    out += stride << 1;
    v128.store(block + row, zero);
    v128.store(block + row, zero, 16);
  }
}

/** The first four numbers of both vectors by turns. */
function low(a: v128, b: v128): v128 {
  return v128.shuffle<i16>(a, b, 0, 8, 1, 9, 2, 10, 3, 11);
}

/** The last four numbers of both vectors by turns. */
function high(a: v128, b: v128): v128 {
  return v128.shuffle<i16>(a, b, 4, 12, 5, 13, 6, 14, 7, 15);
}

/**
 * One-dimensional transform of four columns (Loeffler, Ligtenberg and Moschytz, 13-bit constants):
 * the first four 16-bit numbers of eight rows, 16 bytes apart, from `from` to `to`. Rows come in
 * pairs, so that two products and their sum are one step. The result's rows r and r + 4 lie side by
 * side; `turn` puts them in order. (Inlined: calls here cost one part in twenty of a photo.)
 */
@inline
function fours(from: usize, to: usize, rounding: i32, shift: i32): void {
  const round = i32x4.splat(rounding);
  const i04 = low(v128.load(from), v128.load(from, 64));
  const sum = i32x4.add(round, i32x4.dot_i16x8_s(i04, i32x4.splat(pair(8192, 8192))));
  const difference = i32x4.add(round, i32x4.dot_i16x8_s(i04, i32x4.splat(pair(8192, -8192))));
  const i26 = low(v128.load(from, 32), v128.load(from, 96));
  const outer = i32x4.dot_i16x8_s(i26, i32x4.splat(pair(10703, 4433)));
  const inner = i32x4.dot_i16x8_s(i26, i32x4.splat(pair(4433, -10704)));
  const e0 = i32x4.add(sum, outer);
  const e1 = i32x4.add(difference, inner);
  const e2 = i32x4.sub(difference, inner);
  const e3 = i32x4.sub(sum, outer);
  const i1 = v128.load(from, 16);
  const i3 = v128.load(from, 48);
  const i5 = v128.load(from, 80);
  const i7 = v128.load(from, 112);
  const z34 = low(i16x8.add(i3, i7), i16x8.add(i1, i5));
  const i17 = low(i1, i7);
  const i35 = low(i3, i5);
  const x = i32x4.dot_i16x8_s(z34, i32x4.splat(pair(-6436, 9633)));
  const y = i32x4.dot_i16x8_s(z34, i32x4.splat(pair(9633, 6437)));
  const o0 = i32x4.add(y, i32x4.dot_i16x8_s(i17, i32x4.splat(pair(4926, -7373))));
  const o1 = i32x4.add(x, i32x4.dot_i16x8_s(i35, i32x4.splat(pair(4177, -20995))));
  const o2 = i32x4.add(y, i32x4.dot_i16x8_s(i35, i32x4.splat(pair(-20995, -4176))));
  const o3 = i32x4.add(x, i32x4.dot_i16x8_s(i17, i32x4.splat(pair(-7373, -4927))));
  put(to, e0, e1, e2, e3, o0, o1, o2, o3, shift);
}

/**
 * The same where rows 4..7 are zero: with i5 = i7 = 0 the sums before and after the products
 * fall together, i1 and i3 taking the factors' sums.
 */
@inline
function upperFours(from: usize, to: usize, rounding: i32, shift: i32): void {
  const round = i32x4.splat(rounding);
  const i02 = low(v128.load(from), v128.load(from, 32));
  const i31 = low(v128.load(from, 48), v128.load(from, 16));
  put(
    to,
    i32x4.add(round, i32x4.dot_i16x8_s(i02, i32x4.splat(pair(8192, 10703)))),
    i32x4.add(round, i32x4.dot_i16x8_s(i02, i32x4.splat(pair(8192, 4433)))),
    i32x4.add(round, i32x4.dot_i16x8_s(i02, i32x4.splat(pair(8192, -4433)))),
    i32x4.add(round, i32x4.dot_i16x8_s(i02, i32x4.splat(pair(8192, -10703)))),
    i32x4.dot_i16x8_s(i31, i32x4.splat(pair(9633, 11363))),
    i32x4.dot_i16x8_s(i31, i32x4.splat(pair(-2259, 9633))),
    i32x4.dot_i16x8_s(i31, i32x4.splat(pair(-11362, 6437))),
    i32x4.dot_i16x8_s(i31, i32x4.splat(pair(-6436, 2260))),
    shift,
  );
}

/** Scales the sums and differences of even and odd parts: rows 0..3, each beside row r + 4. */
@inline
function put(
  to: usize,
  e0: v128,
  e1: v128,
  e2: v128,
  e3: v128,
  o0: v128,
  o1: v128,
  o2: v128,
  o3: v128,
  shift: i32,
): void {
  v128.store(to, scaled(i32x4.add(e0, o0), i32x4.sub(e3, o3), shift));
  v128.store(to, scaled(i32x4.add(e1, o1), i32x4.sub(e2, o2), shift), 16);
  v128.store(to, scaled(i32x4.add(e2, o2), i32x4.sub(e1, o1), shift), 32);
  v128.store(to, scaled(i32x4.add(e3, o3), i32x4.sub(e0, o0), shift), 48);
}

function scaled(upper: v128, lower: v128, shift: i32): v128 {
  return i16x8.narrow_i32x4_s(i32x4.shr_s(upper, shift), i32x4.shr_s(lower, shift));
}

/** Turns 8 rows of 4, kept as rows r and r + 4 side by side, into 4 rows of 8: columns as rows. */
@inline
function turn(at: usize): void {
  const a0 = v128.load(at);
  const a1 = v128.load(at, 16);
  const a2 = v128.load(at, 32);
  const a3 = v128.load(at, 48);
  const b0 = low(a0, a2);
  const b1 = high(a0, a2);
  const b2 = low(a1, a3);
  const b3 = high(a1, a3);
  const c0 = low(b0, b2);
  const c1 = high(b0, b2);
  const c2 = low(b1, b3);
  const c3 = high(b1, b3);
  v128.store(at, v128.shuffle<i64>(c0, c2, 0, 2));
  v128.store(at, v128.shuffle<i64>(c0, c2, 1, 3), 16);
  v128.store(at, v128.shuffle<i64>(c1, c3, 0, 2), 32);
  v128.store(at, v128.shuffle<i64>(c1, c3, 1, 3), 48);
}

/** Two 16-bit factors in one 32-bit number, the first in the low half. */
function pair(first: i32, second: i32): i32 {
  return (first & 0xffff) | (second << 16);
}
