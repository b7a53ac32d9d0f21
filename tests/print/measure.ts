/** Measures a raster in millimetres, origin at the page's middle, x right, y up. */
import type { Raster } from "./raster.ts";

export interface PageSize {
  readonly widthMm: number;
  readonly heightMm: number;
}

/** Pixel coordinates (first pixel's middle = 0) of a page point in mm. */
export function pixelOf(raster: Raster, page: PageSize, x: number, y: number): [number, number] {
  const k = raster.dpi / 25.4;
  return [(x + page.widthMm / 2) * k - 0.5, (page.heightMm / 2 - y) * k - 0.5];
}

export function pagePoint(
  raster: Raster,
  page: PageSize,
  px: number,
  py: number,
): [number, number] {
  const k = 25.4 / raster.dpi;
  return [(px + 0.5) * k - page.widthMm / 2, page.heightMm / 2 - (py + 0.5) * k];
}

/** Grey at a page point (nearest pixel); white outside the page. */
export function greyAt(raster: Raster, page: PageSize, x: number, y: number): number {
  const [px, py] = pixelOf(raster, page, x, y).map(Math.round);
  if (px < 0 || py < 0 || px >= raster.width || py >= raster.height) return 255;
  return raster.data[py * raster.width + px];
}

/**
 * Places along a straight cut (mm, from the cut's start) where black and white meet: where the grey,
 * linear between pixels, crosses half.
 */
export function edgesAlong(
  raster: Raster,
  page: PageSize,
  from: readonly [number, number],
  to: readonly [number, number],
): number[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const step = 25.4 / raster.dpi;
  const horizontal = from[1] === to[1];
  if (!horizontal && from[0] !== to[0]) throw new Error("cuts run along the page's sides only");
  const direction = horizontal ? Math.sign(to[0] - from[0]) : Math.sign(to[1] - from[1]);
  const [px, py] = pixelOf(raster, page, from[0], from[1]);
  const startPixel = horizontal ? px : py;
  const sign = horizontal ? direction : -direction;
  const first = sign > 0 ? Math.ceil(startPixel) : Math.floor(startPixel);
  const across = Math.round(horizontal ? py : px);
  const grey = (i: number): number =>
    horizontal ? raster.data[across * raster.width + i] : raster.data[i * raster.width + across];
  const edges: number[] = [];
  for (let i = first; Math.abs(i + sign - startPixel) * step <= length; i += sign) {
    const [a, b] = [grey(i), grey(i + sign)];
    if (a < 127.5 === b < 127.5) continue;
    const place = i + (sign * (127.5 - a)) / (b - a);
    edges.push(Math.abs(place - startPixel) * step);
  }
  return edges;
}

/**
 * Middle (mm along the cut) of the one dark line that a cut crosses: the centroid of darkness.
 * NaN when there is none or it fills the cut.
 */
export function lineMiddle(
  raster: Raster,
  page: PageSize,
  from: readonly [number, number],
  to: readonly [number, number],
): number {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const pixels = Math.round((length * raster.dpi) / 25.4);
  const [ax, ay] = pixelOf(raster, page, from[0], from[1]);
  const [bx, by] = pixelOf(raster, page, to[0], to[1]);
  const [dx, dy] = [Math.sign(Math.round(bx - ax)), Math.sign(Math.round(by - ay))];
  const [x0, y0] = [Math.round(ax), Math.round(ay)];
  let darkness = 0;
  let moment = 0;
  for (let i = 0; i <= pixels; i++) {
    const dark = 255 - raster.data[(y0 + i * dy) * raster.width + x0 + i * dx];
    darkness += dark;
    moment += dark * i;
  }
  if (darkness < 255 || darkness > 255 * 0.5 * pixels) return Number.NaN;
  const rounding = dx !== 0 ? (x0 - ax) * dx : (y0 - ay) * dy;
  return ((moment / darkness + rounding) * 25.4) / raster.dpi;
}

/** Box around all ink of the page, mm: left, bottom, right, top. */
export function inkBox(raster: Raster, page: PageSize): [number, number, number, number] {
  let [left, right, top, bottom] = [raster.width, -1, raster.height, -1];
  for (let y = 0; y < raster.height; y++)
    for (let x = 0; x < raster.width; x++) {
      if (raster.data[y * raster.width + x] > 200) continue;
      left = Math.min(left, x);
      right = Math.max(right, x);
      top = Math.min(top, y);
      bottom = y;
    }
  const [l, t] = pagePoint(raster, page, left - 0.5, top - 0.5);
  const [r, b] = pagePoint(raster, page, right + 0.5, bottom + 0.5);
  return [l, b, r, t];
}
