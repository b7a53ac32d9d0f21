import { normalCdf } from "../../../maths/statistics.ts";
import { greyOfLight } from "../../picture/tone.ts";

/** Kinds of crossings in `PatternSteps.codes`, and numbers of each. */
const codeCount = 26;
const numbersPerCode = 9;
export const softTableSize = codeCount * numbersPerCode;

/** Even and odd share of the tone curve's bend, see `bendOfTone`. */
export interface ToneBend {
  readonly even: number;
  readonly odd: number;
}

const bendPoints = Array.from({ length: 25 }, (_, i) => {
  const z = (i - 12) / 4;
  const white = normalCdf(z);
  const bump = white * (1 - white);
  return { z, white, bump, odd: bump * (1 - 2 * white) };
});
const evenArea = bendPoints.reduce((sum, { bump }) => sum + bump, 0);
const oddMoment = bendPoints.reduce((sum, { z, odd }) => sum + z * odd, 0);

/**
 * How the tone curve bends a blurred edge of whiteness P: grey is about dark + contrast (P + even P
 * (1 - P) + odd P (1 - P) (1 - 2 P)), with the area and the first moment of the true bend across
 * the edge, which any later softening keeps.
 */
export function bendOfTone(offset: number, gain: number, tone: Float64Array): ToneBend {
  const dark = greyOfLight(offset);
  const contrast = greyOfLight(offset + gain) - dark;
  let [area, moment] = [0, 0];
  for (const { z, white } of bendPoints) {
    const q = (greyOfLight(offset + gain * white) - dark) / contrast;
    const bend = q + q * (1 - q) * (tone[0] + tone[1] * (1 - 2 * q)) - white;
    area += bend;
    moment += z * bend;
  }
  return { even: area / evenArea, odd: moment / oddMoment };
}

/** Coefficients of u^i v^j at [4 j + i]. */
type Polynomial = Float64Array;

function times(a: Polynomial, b: Polynomial): Polynomial {
  const out = new Float64Array(16);
  for (let i = 0; i < 16; i++)
    for (let j = 0; j < 16; j++)
      if ((i & 3) + (j & 3) < 4 && (i >> 2) + (j >> 2) < 4) out[i + j] += a[i] * b[j];
  return out;
}

/** E, E^2 and E^3 by E, b = E - E^2 and k = b (1 - 2 E): rows E, b, k. */
const toBumps: readonly (readonly number[])[] = [
  [1, 1, 1],
  [0, -1, -1.5],
  [0, 0, 0.5],
];

/**
 * Fills the table of assembly/soft-print.ts `softPrint`: for each kind of crossing the nine
 * coefficients of (E, b, k along v) x (E, b, k along u) in P + even (P - P^2) + odd P (1 - P)
 * (1 - 2 P), where P is the print about that crossing; at line 0 only the first of three counts.
 */
export function fillSoftTable({ even, odd }: ToneBend, table: Float64Array): void {
  const { print, byEven, byOdd } = parts();
  for (let i = 0; i < softTableSize; i++) table[i] = print[i] + even * byEven[i] + odd * byOdd[i];
}

/** The table is linear in the bends; its three parts are made once. */
const parts = (() => {
  let made: Record<"print" | "byEven" | "byOdd", Float64Array> | null = null;
  return () => {
    if (made) return made;
    const print = tableOf({ even: 0, odd: 0 });
    const beyondPrint = (bend: ToneBend) => tableOf(bend).map((x, i) => x - print[i]);
    made = {
      print,
      byEven: beyondPrint({ even: 1, odd: 0 }),
      byOdd: beyondPrint({ even: 0, odd: 1 }),
    };
    return made;
  };
})();

function tableOf({ even, odd }: ToneBend): Float64Array {
  const table = new Float64Array(softTableSize);
  const bumpsOf = (cells: readonly [number, number, number, number]): Polynomial => {
    const [a, b, c, d] = cells;
    const print = new Float64Array(16);
    print[0] = a;
    print[1] = b - a;
    print[4] = c - a;
    print[5] = d - b - c + a;
    const square = times(print, print);
    const cube = times(square, print);
    return print.map(
      (p, i) => p + even * (p - square[i]) + odd * (p - 3 * square[i] + 2 * cube[i]),
    );
  };
  for (let code = 0; code < 16; code++) {
    const bent = bumpsOf([code & 1, (code >> 1) & 1, (code >> 2) & 1, (code >> 3) & 1]);
    for (let v = 0; v < 3; v++)
      for (let u = 0; u < 3; u++) {
        let sum = 0;
        for (let j = 1; j < 4; j++)
          for (let i = 1; i < 4; i++)
            sum += toBumps[v][j - 1] * toBumps[u][i - 1] * bent[4 * j + i];
        table[numbersPerCode * code + 3 * v + u] = sum;
      }
  }
  for (let code = 0; code < 4; code++) {
    const [from, to] = [code & 1, code >> 1];
    const bent = bumpsOf([from, to, from, to]);
    for (let k = 0; k < 3; k++) {
      const sum = toBumps[k].reduce((all, m, i) => all + m * bent[i + 1], 0);
      table[numbersPerCode * (16 + code) + k] = sum;
      table[numbersPerCode * (20 + code) + 3 * k] = sum;
    }
  }
  table[numbersPerCode * 25] = 1;
  return table;
}
