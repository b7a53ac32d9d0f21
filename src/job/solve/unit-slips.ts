import type { CheckResult } from "../../placement/decide/verdict.ts";
import type { Said } from "../../say/remark.ts";
import type { Remark } from "../result/remark-codes.ts";

type LengthCheck = Pick<
  CheckResult,
  "id" | "label" | "measured" | "required" | "unit" | "verdict"
> & { readonly labelSaid?: Said };

/**
 * A length of the sheet typed in another unit: the measured value is then the required one times 25.4,
 * 10 or 1000. Such a miss would send the stand far away from where it stands right.
 */
export const unitSlips = (checks: readonly LengthCheck[]): Remark[] =>
  checks
    .filter(({ unit, verdict }) => unit === "mm" && verdict === "misses")
    .flatMap((check) => {
      const unit = units.find(({ mm }) => agrees(check, mm));
      return unit ? [remarkOn(check, unit.name)] : [];
    });

const units = [
  { name: "inches", mm: 25.4 },
  { name: "centimetres", mm: 10 },
  { name: "metres", mm: 1000 },
] as const;

/** Shorter lengths agree with another unit by chance, mm. Our own, no source. */
const leastMeasuredMm = 500;
/** A stand that is roughly in place agrees to this share of its distance. Our own, no source. */
const roughly = 0.03;

const agrees = ({ measured, required }: LengthCheck, factor: number): boolean =>
  Math.abs(measured) >= leastMeasuredMm &&
  Math.abs(measured - factor * required) <= roughly * Math.abs(measured);

const remarkOn = (check: LengthCheck, unit: (typeof units)[number]["name"]): Remark => {
  const { id, label, labelSaid, measured, required } = check;
  return {
    code: "required-other-unit",
    values: {
      check: labelSaid ? [labelSaid] : [{ code: "as-named", values: { name: label } }],
      required,
      measured,
      unit,
    },
    severity: "error",
    message:
      `"${label}": the sheet asks for ${required} mm, and ${measured.toFixed(0)} mm were measured. ` +
      `They agree if the sheet's number is in ${unit}.`,
    remedy: "Look at the procedure again and correct the number in the placement sheet.",
    about: id,
  };
};
