/**
 * Inverse 8 x 8 cosine transform in integers, after Loeffler, Ligtenberg and Moschytz (ICASSP 1989)
 * with 13-bit constants and two extra bits between the passes: the arithmetic of the "accurate
 * integer" method of the common JPEG libraries, whose grey values this one matches bit for bit.
 *
 * Blocks whose high frequencies are all zero take shorter ways; leaving out products with zero does
 * not change integer sums, so the result stays the same.
 */

/** Natural index (row * 8 + column) of each zigzag position; overrun runs end in a spare place. */
export const zigzag = new Uint8Array(64 + 16).fill(64);
zigzag.set([
  0, 1, 8, 16, 9, 2, 3, 10, 17, 24, 32, 25, 18, 11, 4, 5, 12, 19, 26, 33, 40, 48, 41, 34, 27, 20,
  13, 6, 7, 14, 21, 28, 35, 42, 49, 56, 57, 50, 43, 36, 29, 22, 15, 23, 30, 37, 44, 51, 58, 59, 52,
  45, 38, 31, 39, 46, 53, 60, 61, 54, 47, 55, 62, 63,
]);

const work = new Int32Array(64);

/**
 * Transforms one block and clears it.
 *
 * @param block dequantised coefficients in natural order (at least 64 numbers); zero afterwards
 * @param used all natural indices with a coefficient, joined by bitwise or: tells whether columns
 *   or rows 4 to 7 are in use, and 0 means that there is nothing but the mean
 * @param out where the 8 x 8 grey values go (the clamped array limits them to 0..255)
 */
export function inverseDct(
  block: Int32Array,
  used: number,
  out: Uint8ClampedArray,
  offset: number,
  stride: number,
): void {
  if (used === 0) {
    flatBlock(block, out, offset, stride);
    return;
  }
  const columns = (used & 4) === 0 ? 4 : 8;
  if ((used & 32) === 0) halfColumns(block, columns);
  else fullColumns(block, columns);
  if (columns === 4) halfRows(out, offset, stride);
  else fullRows(out, offset, stride);
}

function flatBlock(
  block: Int32Array,
  out: Uint8ClampedArray,
  offset: number,
  stride: number,
): void {
  const value = Math.max(0, Math.min(255, ((block[0] + 4) >> 3) + 128));
  block[0] = 0;
  let at = offset;
  for (let row = 0; row < 8; row++, at += stride) {
    out[at] = value;
    out[at + 1] = value;
    out[at + 2] = value;
    out[at + 3] = value;
    out[at + 4] = value;
    out[at + 5] = value;
    out[at + 6] = value;
    out[at + 7] = value;
  }
}

/** Fills one column of the work space with a constant: nothing but a mean in that column. */
function flatColumn(column: number, value: number): void {
  work[column] = value;
  work[column + 8] = value;
  work[column + 16] = value;
  work[column + 24] = value;
  work[column + 32] = value;
  work[column + 40] = value;
  work[column + 48] = value;
  work[column + 56] = value;
}

const round1 = 1 << 10;
/** The rounding term of the second pass also carries the level shift of 128. */
const round2 = (1 << 17) + (128 << 18);

/** Eight numbers of one row or column, transformed but not yet scaled. */
const sums = new Int32Array(8);

/** One-dimensional transform of four numbers, the other four being zero, into `sums`. */
function halfSums(i0: number, i1: number, i2: number, i3: number, rounding: number): void {
  const base = (i0 << 13) + rounding;
  const inner = Math.imul(i2, 4433);
  const outer = Math.imul(i2, 10703);
  putSums(
    base + outer,
    base + inner,
    base - inner,
    base - outer,
    Math.imul(i1, 11363) + Math.imul(i3, 9633),
    Math.imul(i1, 9633) - Math.imul(i3, 2259),
    Math.imul(i1, 6437) - Math.imul(i3, 11362),
    Math.imul(i1, 2260) - Math.imul(i3, 6436),
  );
}

/** One-dimensional transform of eight numbers, into `sums`. */
function fullSums(
  i0: number,
  i1: number,
  i2: number,
  i3: number,
  i4: number,
  i5: number,
  i6: number,
  i7: number,
  rounding: number,
): void {
  const z = Math.imul(i2 + i6, 4433);
  const inner = z - Math.imul(i6, 15137);
  const outer = z + Math.imul(i2, 6270);
  const sum = ((i0 + i4) << 13) + rounding;
  const difference = ((i0 - i4) << 13) + rounding;
  const z5 = Math.imul(i7 + i3 + i5 + i1, 9633);
  const z1 = Math.imul(i7 + i1, -7373);
  const z2 = Math.imul(i5 + i3, -20995);
  const z3 = Math.imul(i7 + i3, -16069) + z5;
  const z4 = Math.imul(i5 + i1, -3196) + z5;
  putSums(
    sum + outer,
    difference + inner,
    difference - inner,
    sum - outer,
    Math.imul(i1, 12299) + z1 + z4,
    Math.imul(i3, 25172) + z2 + z3,
    Math.imul(i5, 16819) + z2 + z4,
    Math.imul(i7, 2446) + z1 + z3,
  );
}

/** Sums and differences of the even part e and the odd part o. */
function putSums(
  e0: number,
  e1: number,
  e2: number,
  e3: number,
  o0: number,
  o1: number,
  o2: number,
  o3: number,
): void {
  sums[0] = e0 + o0;
  sums[1] = e1 + o1;
  sums[2] = e2 + o2;
  sums[3] = e3 + o3;
  sums[4] = e3 - o3;
  sums[5] = e2 - o2;
  sums[6] = e1 - o1;
  sums[7] = e0 - o0;
}

/** `sums` as a column of the work space. */
function putColumn(c: number): void {
  work[c] = sums[0] >> 11;
  work[c + 8] = sums[1] >> 11;
  work[c + 16] = sums[2] >> 11;
  work[c + 24] = sums[3] >> 11;
  work[c + 32] = sums[4] >> 11;
  work[c + 40] = sums[5] >> 11;
  work[c + 48] = sums[6] >> 11;
  work[c + 56] = sums[7] >> 11;
}

/** `sums` as a row of grey values. */
function putRow(out: Uint8ClampedArray, at: number): void {
  out[at] = sums[0] >> 18;
  out[at + 1] = sums[1] >> 18;
  out[at + 2] = sums[2] >> 18;
  out[at + 3] = sums[3] >> 18;
  out[at + 4] = sums[4] >> 18;
  out[at + 5] = sums[5] >> 18;
  out[at + 6] = sums[6] >> 18;
  out[at + 7] = sums[7] >> 18;
}

/** First pass where rows 4 to 7 are zero. */
function halfColumns(block: Int32Array, columns: number): void {
  for (let c = 0; c < columns; c++) {
    const i0 = block[c];
    const i1 = block[c + 8];
    const i2 = block[c + 16];
    const i3 = block[c + 24];
    block[c] = 0;
    if ((i1 | i2 | i3) === 0) {
      flatColumn(c, i0 << 2);
      continue;
    }
    block[c + 8] = 0;
    block[c + 16] = 0;
    block[c + 24] = 0;
    halfSums(i0, i1, i2, i3, round1);
    putColumn(c);
  }
}

/** First pass over all rows. */
function fullColumns(block: Int32Array, columns: number): void {
  for (let c = 0; c < columns; c++) {
    const i0 = block[c];
    const i1 = block[c + 8];
    const i2 = block[c + 16];
    const i3 = block[c + 24];
    const i4 = block[c + 32];
    const i5 = block[c + 40];
    const i6 = block[c + 48];
    const i7 = block[c + 56];
    block[c] = 0;
    if ((i1 | i2 | i3 | i4 | i5 | i6 | i7) === 0) {
      flatColumn(c, i0 << 2);
      continue;
    }
    block[c + 8] = 0;
    block[c + 16] = 0;
    block[c + 24] = 0;
    block[c + 32] = 0;
    block[c + 40] = 0;
    block[c + 48] = 0;
    block[c + 56] = 0;
    fullSums(i0, i1, i2, i3, i4, i5, i6, i7, round1);
    putColumn(c);
  }
}

/** Second pass where columns 4 to 7 are zero. */
function halfRows(out: Uint8ClampedArray, offset: number, stride: number): void {
  let at = offset;
  for (let r = 0; r < 64; r += 8, at += stride) {
    halfSums(work[r], work[r + 1], work[r + 2], work[r + 3], round2);
    putRow(out, at);
  }
}

/** Second pass over all columns. */
function fullRows(out: Uint8ClampedArray, offset: number, stride: number): void {
  let at = offset;
  for (let r = 0; r < 64; r += 8, at += stride) {
    fullSums(
      work[r],
      work[r + 1],
      work[r + 2],
      work[r + 3],
      work[r + 4],
      work[r + 5],
      work[r + 6],
      work[r + 7],
      round2,
    );
    putRow(out, at);
  }
}
