import type { RemarkCost, StoredRemark } from "../../say/remark.ts";
import { type Consequence, consequenceOf } from "./consequences.ts";

/** As many remarks as a person reads before the rest is folded away. */
export const firstRemarks = 5;

type Ranked = StoredRemark & { readonly cost?: RemarkCost };

const bySeverity = { error: 0, warning: 1, info: 2 } as const;
const byConsequence: Readonly<Record<Consequence, number>> = {
  refuses: 0,
  "holds back": 0,
  widens: 1,
  harmless: 2,
};

/**
 * Remarks in the order in which they matter: what holds the verdict back, what costs the checks most,
 * what widens them, then the rest by severity. Remarks of equal rank keep their order.
 */
export const ranked = <R extends Ranked>(remarks: readonly R[]): R[] => {
  const order = remarks.map((remark) => ({ remark, rank: rankOf(remark) }));
  return order.sort((a, b) => compare(a.rank, b.rank)).map(({ remark }) => remark);
};

const rankOf = ({ code, severity, cost }: Ranked): readonly number[] => {
  const consequence = byConsequence[consequenceOf(code)];
  return [
    severity === "info" ? 1 : 0,
    consequence === 0 ? 0 : 1,
    -(cost?.share ?? 0),
    bySeverity[severity],
    consequence,
  ];
};

const compare = (a: readonly number[], b: readonly number[]): number =>
  a.reduce((order, value, i) => order || value - b[i], 0);
