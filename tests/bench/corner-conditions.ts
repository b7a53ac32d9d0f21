import type { Print, ToneName } from "../tools/render-board.ts";

/** One cell of the corner table. */
export interface Condition {
  readonly cellPx: number;
  readonly tiltDeg: number;
  readonly blurPx: number;
  readonly noise: number;
  readonly tone: ToneName;
  readonly sharpen: number;
  readonly covered: number;
}

const base = { noise: 2, tone: "sRGB", sharpen: 0, covered: 0 } as const;

/** All cells of the table, or a small part of them. */
export function conditions(quick: boolean): Condition[] {
  const list: Condition[] = [];
  const cells = quick ? [5, 12] : [3, 5, 8, 14, 24];
  for (const cellPx of cells)
    for (const tiltDeg of quick ? [35] : [0, 35, 65])
      for (const blurPx of quick ? [0.8] : [0.6, 1.2, 2])
        list.push({ ...base, cellPx, tiltDeg, blurPx });
  const place = { tiltDeg: 35, blurPx: 0.9 };
  for (const cellPx of quick ? [8] : [5, 12])
    for (const noise of [1, 5])
      for (const tone of ["linear", "sRGB", "S-curve"] as const)
        for (const sharpen of [0, 0.5])
          list.push({ ...place, cellPx, noise, tone, sharpen, covered: 0 });
  for (const covered of [0.1, 0.2]) list.push({ ...base, ...place, cellPx: 10, covered });
  return list;
}

/** Round grey discs on the ring (fingers, a cable) that cover about this share of the board. */
export function discs(share: number): Print["discs"] {
  const radius = 1.25;
  const count = Math.round((share * 196) / (Math.PI * radius * radius));
  const places = [
    [-6, 6],
    [6, 1],
    [0, -6],
    [-6, -3],
    [6, -6],
    [1, 6],
    [-6, 1],
    [6, 5],
  ] as const;
  return places.slice(0, count).map(([x, y]) => [x, y, radius] as const);
}
