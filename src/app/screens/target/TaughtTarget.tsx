import type { LibraryTarget } from "../../../placement/target/target-library.ts";
import { useApp } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { formatNumber } from "../../i18n/units.ts";
import { Words } from "../../parts/Words.tsx";

/** Two-sided 95 % of a normal distribution. */
const coverage = 1.96;

/** Where each stand board is against the target, in words, with what the teaching rests on. */
export function TaughtTarget({ target }: { readonly target: LibraryTarget }) {
  const { t, showMeasured, showUncertainty, locale } = useApp();
  const { proof } = target.taught;
  return (
    <>
      <ul className="taught" data-testid="taught">
        {target.boards.map(({ board, centreInTargetMm, shiftSdMm, turnSdDeg }) => {
          const [right, up, out] = centreInTargetMm;
          const words = [
            side(right, "teaching.right", "teaching.left"),
            side(up, "teaching.up", "teaching.down"),
            side(out, "teaching.out", "teaching.in"),
          ];
          return (
            <li key={board}>
              <p>
                <Words text={t("teaching.board", { id: board })} />
              </p>
              <p className="taught-words">
                {words
                  .map(({ key, size }) => t(key, { amount: showMeasured(size, "length", 1) }))
                  .join(", ")}
                <span className="block quiet small">
                  {t("teaching.sure", {
                    mm: showUncertainty(coverage * shiftSdMm, "length", 1),
                    angle: showUncertainty(coverage * turnSdDeg, "angle", 2),
                  })}
                </span>
              </p>
            </li>
          );
        })}
      </ul>
      {proof ? (
        <p className="small quiet">
          <Words
            text={t("teaching.proof", {
              count: proof.photos.length,
              residual: formatNumber(proof.residualPx, 2, locale),
              redundancy: Math.round(proof.redundancy),
            })}
          />
        </p>
      ) : null}
    </>
  );
}

const side = (value: number, positive: TextKey, negative: TextKey) => ({
  key: value < 0 ? negative : positive,
  size: Math.abs(value),
});
