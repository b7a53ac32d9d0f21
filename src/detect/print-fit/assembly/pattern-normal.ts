/** Normal equations of a board from its tiles' sums: N = sum C^T S C with the sparse chains C. */
import { shaped } from "./edge-tables";
import * as at from "./layout";

/** A tile's sums as a full matrix; then one row of C^T S. */
const full: usize = at.work;
const rowBytes: usize = 16 * ((at.columns + 1) >> 1);
const row: usize = full + at.columns * rowBytes;

/** Fills matrix (lower triangle) and right side from the active tiles, for the first `unknowns`. */
export function assemble(unknowns: usize): void {
  memory.fill(at.matrix, 0, unknowns * unknowns * 8);
  memory.fill(at.right, 0, unknowns * 8);
  for (let tile: usize = 0; tile < at.tileCount; tile++)
    if (load<u8>(at.active + tile) != 0 && load<f64>(at.counts + (tile << 3)) != 0) addTile(tile, unknowns);
}

function addTile(tile: usize, unknowns: usize): void {
  unfold(at.products + tile * at.productBytes);
  const links = at.coefficients + tile * at.linkBytes;
  let t: usize = 0;
  for (let k: usize = 0; k < unknowns; k++) {
    const end = <usize>load<i32>(at.starts + ((k + 1) << 2));
    let a = f64x2.splat(0);
    let b = a;
    let c = a;
    let d = a;
    let e = a;
    let f = a;
    let g = a;
    for (; t < end; t++) {
      const link = v128.load64_splat(links + (t << 3));
      const from = full + <usize>load<i32>(at.components + (t << 2)) * rowBytes;
      a = f64x2.add(a, f64x2.mul(link, v128.load(from)));
      b = f64x2.add(b, f64x2.mul(link, v128.load(from, 16)));
      c = f64x2.add(c, f64x2.mul(link, v128.load(from, 32)));
      d = f64x2.add(d, f64x2.mul(link, v128.load(from, 48)));
      e = f64x2.add(e, f64x2.mul(link, v128.load(from, 64)));
      f = f64x2.add(f, f64x2.mul(link, v128.load(from, 80)));
      if (shaped) g = f64x2.add(g, f64x2.mul(link, v128.load(from, 96)));
    }
    v128.store(row, a);
    v128.store(row, b, 16);
    v128.store(row, c, 32);
    v128.store(row, d, 48);
    v128.store(row, e, 64);
    v128.store(row, f, 80);
    v128.store(row, g, 96);
    const right = at.right + (k << 3);
    store<f64>(right, load<f64>(right) + load<f64>(row + (at.residualColumn << 3)));
    const line = at.matrix + k * unknowns * 8;
    for (let s: usize = 0; s < end; s++) {
      const product =
        load<f64>(links + (s << 3)) *
        load<f64>(row + ((<usize>load<i32>(at.components + (s << 2))) << 3));
      const place = line + ((<usize>load<i32>(at.movers + (s << 2))) << 3);
      store<f64>(place, load<f64>(place) + product);
    }
  }
}

/** Both triangles from the lower one, whose rows are rounded up to pairs. */
function unfold(from: usize): void {
  for (let i: usize = 0; i < at.columns; i++) {
    for (let j: usize = 0; j <= i; j++) {
      const value = load<f64>(from + (j << 3));
      store<f64>(full + i * rowBytes + (j << 3), value);
      store<f64>(full + j * rowBytes + (i << 3), value);
    }
    from += ((i >> 1) + 1) << 4;
  }
}
