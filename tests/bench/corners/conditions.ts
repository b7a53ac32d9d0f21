import type { Print, ToneName } from "../../tools/render-board.ts";
import { type PhoneEffect, phoneEffects } from "./phone-conditions.ts";

/** One cell of the corner table. */
export interface Condition {
  readonly cellPx: number;
  readonly tiltDeg: number;
  readonly blurPx: number;
  readonly noise: number;
  readonly tone: ToneName;
  readonly sharpen: number;
  readonly covered: number;
  /** What a phone does; `blurPx`, `noise` and `tone` are then its own. */
  readonly effect?: PhoneEffect;
}

/** Which cells of the table are wanted. */
export interface Choice {
  /** A small part of all. */
  readonly quick: boolean;
  /** Only effects of phones, or only the exact pictures; both where undefined. */
  readonly part?: "exact" | "phone";
  /** Only conditions whose name has this in it. */
  readonly name?: string;
  /** Only cells of this size. */
  readonly cellPx?: number;
}

const base = { noise: 2, tone: "sRGB", sharpen: 0, covered: 0 } as const;

/** A condition in words, by which it can be chosen. */
export const nameOf = (c: Condition): string =>
  c.effect?.name ??
  `${c.tiltDeg} deg blur ${c.blurPx} noise ${c.noise} ${c.tone} sharp ${c.sharpen} cover ${c.covered}`;

/** The cells of the table. */
export function conditions({ quick, part, name, cellPx }: Choice): Condition[] {
  const all = [
    ...(part === "phone" ? [] : exactConditions(quick)),
    ...(part === "exact" ? [] : phoneConditions(quick)),
  ];
  return all.filter(
    (c) =>
      (name === undefined || nameOf(c).includes(name)) &&
      (cellPx === undefined || c.cellPx === cellPx),
  );
}

const phoneConditions = (quick: boolean): Condition[] =>
  (quick ? [6] : [5, 12]).flatMap((cellPx) =>
    phoneEffects.map((effect) => ({
      cellPx,
      tiltDeg: 35,
      blurPx: effect.optics.blurPx,
      noise: effect.development.noise,
      tone: effect.development.tone,
      sharpen: 0,
      covered: 0,
      effect,
    })),
  );

function exactConditions(quick: boolean): Condition[] {
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
