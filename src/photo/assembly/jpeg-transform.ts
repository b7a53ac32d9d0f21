/** Inverse 8 x 8 cosine transform in 128-bit vectors; the same arithmetic as ../jpeg-idct.ts. */

/** Coefficients of one block, 64 16-bit numbers and room for runs that leave the block. */
export const block: usize = 196864;
const work: usize = 197120;

/**
 * Transforms the block into eight rows at `out`, `stride` bytes apart, and clears it. `used` is the
 * bitwise or of the places (row * 8 + column) of all coefficients but the first: most blocks have
 * none in the last four columns, many none in the last four rows, and what is zero is left out.
 */
export function transform(out: usize, stride: usize, used: i32): void {
  if (used & 4) {
    pass(block, 1 << 10, 11);
    transpose();
    pass(work, 1 << 17, 18);
  } else {
    if (used & 32) passLeft(block, 1 << 10, 11);
    else passUpperLeft(block, 1 << 10, 11);
    transposeLeft();
    passUpper(work, 1 << 17, 18);
  }
  transpose();
  const zero = i64x2.splat(0);
  const middle = i8x16.splat(-128);
  for (let row: usize = 0; row < 128; row += 32) {
    const values = i8x16.narrow_i16x8_s(v128.load(work + row), v128.load(work + row, 16));
    const grey = v128.xor(values, middle);
    store<i64>(out, i64x2.extract_lane(grey, 0));
    store<i64>(out + stride, i64x2.extract_lane(grey, 1));
    out += stride << 1;
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
 * constants), from eight vectors of 16-bit numbers at `from` to the work space. Rows come in pairs,
 * so that two products and their sum are one step; l and h are the columns 0..3 and 4..7.
 */
function pass(from: usize, rounding: i32, shift: i32): void {
  const round = i32x4.splat(rounding);
  const i0 = v128.load(from);
  const i4 = v128.load(from, 64);
  const l04 = low(i0, i4);
  const h04 = high(i0, i4);
  const suml = i32x4.add(round, i32x4.dot_i16x8_s(l04, i32x4.splat(pair(8192, 8192))));
  const sumh = i32x4.add(round, i32x4.dot_i16x8_s(h04, i32x4.splat(pair(8192, 8192))));
  const differencel = i32x4.add(round, i32x4.dot_i16x8_s(l04, i32x4.splat(pair(8192, -8192))));
  const differenceh = i32x4.add(round, i32x4.dot_i16x8_s(h04, i32x4.splat(pair(8192, -8192))));
  const i2 = v128.load(from, 32);
  const i6 = v128.load(from, 96);
  const l26 = low(i2, i6);
  const h26 = high(i2, i6);
  const outerl = i32x4.dot_i16x8_s(l26, i32x4.splat(pair(10703, 4433)));
  const outerh = i32x4.dot_i16x8_s(h26, i32x4.splat(pair(10703, 4433)));
  const innerl = i32x4.dot_i16x8_s(l26, i32x4.splat(pair(4433, -10704)));
  const innerh = i32x4.dot_i16x8_s(h26, i32x4.splat(pair(4433, -10704)));
  const e0l = i32x4.add(suml, outerl);
  const e0h = i32x4.add(sumh, outerh);
  const e1l = i32x4.add(differencel, innerl);
  const e1h = i32x4.add(differenceh, innerh);
  const e2l = i32x4.sub(differencel, innerl);
  const e2h = i32x4.sub(differenceh, innerh);
  const e3l = i32x4.sub(suml, outerl);
  const e3h = i32x4.sub(sumh, outerh);
  const i1 = v128.load(from, 16);
  const i3 = v128.load(from, 48);
  const i5 = v128.load(from, 80);
  const i7 = v128.load(from, 112);
  const z3 = i16x8.add(i3, i7);
  const z4 = i16x8.add(i1, i5);
  const l34 = low(z3, z4);
  const h34 = high(z3, z4);
  const l17 = low(i1, i7);
  const h17 = high(i1, i7);
  const l35 = low(i3, i5);
  const h35 = high(i3, i5);
  const xl = i32x4.dot_i16x8_s(l34, i32x4.splat(pair(-6436, 9633)));
  const xh = i32x4.dot_i16x8_s(h34, i32x4.splat(pair(-6436, 9633)));
  const yl = i32x4.dot_i16x8_s(l34, i32x4.splat(pair(9633, 6437)));
  const yh = i32x4.dot_i16x8_s(h34, i32x4.splat(pair(9633, 6437)));
  const o0l = i32x4.add(yl, i32x4.dot_i16x8_s(l17, i32x4.splat(pair(4926, -7373))));
  const o0h = i32x4.add(yh, i32x4.dot_i16x8_s(h17, i32x4.splat(pair(4926, -7373))));
  put(0, i32x4.add(e0l, o0l), i32x4.add(e0h, o0h), shift);
  put(7, i32x4.sub(e0l, o0l), i32x4.sub(e0h, o0h), shift);
  const o1l = i32x4.add(xl, i32x4.dot_i16x8_s(l35, i32x4.splat(pair(4177, -20995))));
  const o1h = i32x4.add(xh, i32x4.dot_i16x8_s(h35, i32x4.splat(pair(4177, -20995))));
  put(1, i32x4.add(e1l, o1l), i32x4.add(e1h, o1h), shift);
  put(6, i32x4.sub(e1l, o1l), i32x4.sub(e1h, o1h), shift);
  const o2l = i32x4.add(yl, i32x4.dot_i16x8_s(l35, i32x4.splat(pair(-20995, -4176))));
  const o2h = i32x4.add(yh, i32x4.dot_i16x8_s(h35, i32x4.splat(pair(-20995, -4176))));
  put(2, i32x4.add(e2l, o2l), i32x4.add(e2h, o2h), shift);
  put(5, i32x4.sub(e2l, o2l), i32x4.sub(e2h, o2h), shift);
  const o3l = i32x4.add(xl, i32x4.dot_i16x8_s(l17, i32x4.splat(pair(-7373, -4927))));
  const o3h = i32x4.add(xh, i32x4.dot_i16x8_s(h17, i32x4.splat(pair(-7373, -4927))));
  put(3, i32x4.add(e3l, o3l), i32x4.add(e3h, o3h), shift);
  put(4, i32x4.sub(e3l, o3l), i32x4.sub(e3h, o3h), shift);
}

/** The same for columns 0..3 only; the others are left as zeros. */
function passLeft(from: usize, rounding: i32, shift: i32): void {
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
  putLeft(e0, e1, e2, e3, o0, o1, o2, o3, shift);
}

/**
 * The same where rows 4..7 are zero, too: with i5 = i7 = 0 the sums before and after the products
 * fall together, i1 and i3 taking the factors' sums.
 */
function passUpperLeft(from: usize, rounding: i32, shift: i32): void {
  const round = i32x4.splat(rounding);
  const i02 = low(v128.load(from), v128.load(from, 32));
  const i31 = low(v128.load(from, 48), v128.load(from, 16));
  putLeft(
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

/** All eight columns where rows 4..7 are zero. */
function passUpper(from: usize, rounding: i32, shift: i32): void {
  const round = i32x4.splat(rounding);
  const i0 = v128.load(from);
  const i1 = v128.load(from, 16);
  const i2 = v128.load(from, 32);
  const i3 = v128.load(from, 48);
  const l02 = low(i0, i2);
  const h02 = high(i0, i2);
  const l31 = low(i3, i1);
  const h31 = high(i3, i1);
  putPair(0, l02, h02, l31, h31, round, pair(8192, 10703), pair(9633, 11363), shift);
  putPair(1, l02, h02, l31, h31, round, pair(8192, 4433), pair(-2259, 9633), shift);
  putPair(2, l02, h02, l31, h31, round, pair(8192, -4433), pair(-11362, 6437), shift);
  putPair(3, l02, h02, l31, h31, round, pair(8192, -10703), pair(-6436, 2260), shift);
}

/** Rows `row` and 7 - `row` from the factors of their even and odd parts. */
function putPair(
  row: i32,
  l02: v128,
  h02: v128,
  l31: v128,
  h31: v128,
  round: v128,
  even: i32,
  odd: i32,
  shift: i32,
): void {
  const evenl = i32x4.add(round, i32x4.dot_i16x8_s(l02, i32x4.splat(even)));
  const evenh = i32x4.add(round, i32x4.dot_i16x8_s(h02, i32x4.splat(even)));
  const oddl = i32x4.dot_i16x8_s(l31, i32x4.splat(odd));
  const oddh = i32x4.dot_i16x8_s(h31, i32x4.splat(odd));
  put(row, i32x4.add(evenl, oddl), i32x4.add(evenh, oddh), shift);
  put(7 - row, i32x4.sub(evenl, oddl), i32x4.sub(evenh, oddh), shift);
}

/** Scales two rows of four and stores each pair side by side: rows r and r + 4 in one vector. */
function putLeft(
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
  putFours(0, i32x4.add(e0, o0), i32x4.sub(e3, o3), shift);
  putFours(1, i32x4.add(e1, o1), i32x4.sub(e2, o2), shift);
  putFours(2, i32x4.add(e2, o2), i32x4.sub(e1, o1), shift);
  putFours(3, i32x4.add(e3, o3), i32x4.sub(e0, o0), shift);
}

function putFours(row: i32, upper: v128, lower: v128, shift: i32): void {
  const scaled = i16x8.narrow_i32x4_s(i32x4.shr_s(upper, shift), i32x4.shr_s(lower, shift));
  v128.store(work + (row << 4), scaled);
}

/** Turns the 8 rows of 4, kept as rows r and r + 4 side by side, into 4 rows of 8. */
function transposeLeft(): void {
  const a0 = v128.load(work);
  const a1 = v128.load(work, 16);
  const a2 = v128.load(work, 32);
  const a3 = v128.load(work, 48);
  const b0 = low(a0, a2);
  const b1 = high(a0, a2);
  const b2 = low(a1, a3);
  const b3 = high(a1, a3);
  const c0 = low(b0, b2);
  const c1 = high(b0, b2);
  const c2 = low(b1, b3);
  const c3 = high(b1, b3);
  v128.store(work, v128.shuffle<i64>(c0, c2, 0, 2));
  v128.store(work, v128.shuffle<i64>(c0, c2, 1, 3), 16);
  v128.store(work, v128.shuffle<i64>(c1, c3, 0, 2), 32);
  v128.store(work, v128.shuffle<i64>(c1, c3, 1, 3), 48);
}

/** Scales a row's sums and stores it in the work space. */
function put(row: usize, l: v128, h: v128, shift: i32): void {
  const scaled = i16x8.narrow_i32x4_s(i32x4.shr_s(l, shift), i32x4.shr_s(h, shift));
  v128.store(work + (row << 4), scaled);
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
