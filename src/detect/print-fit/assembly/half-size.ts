/** Half-size pictures: each pixel the mean of 2 x 2, rounded; eight at a time. */

/** Halves `rows` pairs of rows at `from`, `stride` bytes each, to rows of `width` (>= 8) at `to`. */
export function halve(from: usize, stride: i32, to: usize, width: i32, rows: i32): void {
  const two = i16x8.splat(2);
  for (let y = 0; y < rows; y++) {
    for (let x = 0; x < width; x += 8) {
      // The last step looks back, so that no row runs over into the next.
      const place = min(x, width - 8);
      const at = from + <usize>(place << 1);
      const top = i16x8.extadd_pairwise_i8x16_u(v128.load(at));
      const bottom = i16x8.extadd_pairwise_i8x16_u(v128.load(at + <usize>stride));
      const mean = i16x8.shr_u(i16x8.add(i16x8.add(top, bottom), two), 2);
      const bytes = i8x16.narrow_i16x8_u(mean, mean);
      store<i64>(to + <usize>place, i64x2.extract_lane(bytes, 0));
    }
    from += (<usize>stride) << 1;
    to += <usize>width;
  }
}
