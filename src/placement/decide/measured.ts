import type { Propagated } from "../../adjust/problem/problem.ts";
import type { Share } from "./advice.ts";

/** A number with its standard uncertainty and the shares of its variance, largest first. */
export interface Measured {
  readonly value: number;
  readonly sd: number;
  readonly budget: readonly Share[];
  /** Share of the variance that each camera's lens contributes, by the camera's key. */
  readonly lenses?: Readonly<Record<string, number>>;
}

/** Value i of a propagation with its standard uncertainty and its shares, largest first. */
export const readValue = (propagated: Propagated, key: string): Measured => {
  const i = propagated.keys.indexOf(key);
  if (i < 0) throw new Error(`The propagation has no quantity "${key}".`);
  const variance = propagated.covariance[i * propagated.keys.length + i];
  return {
    value: propagated.values[i],
    sd: Math.sqrt(Math.max(0, variance)),
    budget: sharesOf(propagated.budget[i]),
    lenses: lensShares(propagated.lenses?.[i] ?? {}, variance),
  };
};

const lensShares = (
  variances: Readonly<Record<string, number>>,
  total: number,
): Record<string, number> =>
  Object.fromEntries(
    Object.entries(variances).map(([camera, v]) => [camera, total > 0 ? v / total : 0]),
  );

const sharesOf = (variances: Readonly<Partial<Record<string, number>>>): Share[] => {
  const entries = Object.entries(variances).map(([source, v]) => ({ source, variance: v ?? 0 }));
  const total = entries.reduce((sum, e) => sum + e.variance, 0);
  if (!(total > 0)) return [];
  return entries
    .filter((e) => e.variance > 0)
    .map((e) => ({ source: e.source, share: e.variance / total }))
    .sort((a, b) => b.share - a.share);
};
