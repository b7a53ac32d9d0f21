/** Small versions of a grey picture. */
import type { LumaImage } from "./luma.ts";

/**
 * Reduces a picture so that its longer side has at most `maxSide` px. Every pixel of the result is
 * the mean over its share of the original's area; a picture that is small enough comes back as it
 * is.
 */
export function thumbnail(image: LumaImage, maxSide: number): LumaImage {
  const longer = Math.max(image.width, image.height);
  if (longer <= maxSide) return image;
  const width = Math.max(1, Math.round((image.width * maxSide) / longer));
  const height = Math.max(1, Math.round((image.height * maxSide) / longer));
  const columns = shares(image.width, width);
  const rows = shares(image.height, height);
  const data = new Uint8Array(width * height);
  const sums = new Float64Array(width);
  for (let y = 0; y < height; y++) {
    sums.fill(0);
    for (let row = rows.first[y]; row <= rows.last[y]; row++) {
      addRow(image, row, rows.weight(y, row), columns, sums);
    }
    for (let x = 0; x < width; x++) data[y * width + x] = sums[x] + 0.5;
  }
  return { width, height, data };
}

/** Which cells of the original each cell of the result covers, along one axis. */
interface Shares {
  readonly first: Int32Array;
  readonly last: Int32Array;
  /** Part of the result's cell that the original's cell makes up; they add up to 1. */
  weight(cell: number, original: number): number;
}

function shares(from: number, to: number): Shares {
  const step = from / to;
  const first = Int32Array.from({ length: to }, (_, i) => Math.floor(i * step + 1e-9));
  const last = Int32Array.from({ length: to }, (_, i) =>
    Math.min(from - 1, Math.ceil((i + 1) * step - 1e-9) - 1),
  );
  const weight = (cell: number, original: number): number => {
    const start = Math.max(original, cell * step);
    const end = Math.min(original + 1, (cell + 1) * step);
    return (end - start) / step;
  };
  return { first, last, weight };
}

function addRow(
  { width, data }: LumaImage,
  row: number,
  rowWeight: number,
  columns: Shares,
  sums: Float64Array,
): void {
  const start = row * width;
  const inner = rowWeight * (columns.first.length / width);
  for (let x = 0; x < sums.length; x++) {
    const first = columns.first[x];
    const last = columns.last[x];
    let whole = 0;
    for (let c = first + 1; c < last; c++) whole += data[start + c];
    let sum = whole * inner + data[start + first] * columns.weight(x, first) * rowWeight;
    if (last > first) sum += data[start + last] * columns.weight(x, last) * rowWeight;
    sums[x] += sum;
  }
}
