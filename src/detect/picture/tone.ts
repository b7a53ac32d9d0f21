/**
 * Tone curve between light and grey values: sRGB (IEC 61966-2-1) as the base, straight beyond both
 * ends. What a phone does differently is left to the fit's own tone unknowns.
 */

const entries = 4096;
/** Grey value and its derivative, interleaved, for light 0 .. 1. */
const table = makeTable();

/** Spacing of the table: entry index = light * toneScale. */
export const toneScale = entries;
export const toneTable: Float64Array = table;

function makeTable(): Float64Array {
  const t = new Float64Array(2 * (entries + 2));
  for (let i = 0; i < entries + 2; i++) {
    const light = i / entries;
    t[2 * i] = 255 * encode(light);
    t[2 * i + 1] = 255 * encodeSlope(light);
  }
  return t;
}

function encode(light: number): number {
  return light <= 0.0031308 ? 12.92 * light : 1.055 * light ** (1 / 2.4) - 0.055;
}

function encodeSlope(light: number): number {
  return light <= 0.0031308 ? 12.92 : (1.055 / 2.4) * light ** (1 / 2.4 - 1);
}

/** Light (0 .. 1) of a grey value 0 .. 255. */
export function lightOfGrey(grey: number): number {
  const s = grey / 255;
  return s <= 0.04045 ? s / 12.92 : ((s + 0.055) / 1.055) ** 2.4;
}

/** Grey value 0 .. 255 of light. */
export const greyOfLight = (light: number): number => 255 * encode(light);

/** Grey value 0 .. 255 of light and its slope from the table, as the pixel loop reads them. */
export function toneByTable(light: number, out: { grey: number; slope: number }): void {
  const f = light * entries;
  const k = Math.max(0, Math.min(entries, Math.floor(f)));
  const a = k === f || f < 0 || f > entries ? 0 : f - k;
  out.slope = table[2 * k + 1] + a * (table[2 * k + 3] - table[2 * k + 1]);
  out.grey = table[2 * k] + a * (table[2 * k + 2] - table[2 * k]);
  if (f < 0) out.grey = light * out.slope;
  if (f > entries) out.grey += (light - 1) * out.slope;
}
