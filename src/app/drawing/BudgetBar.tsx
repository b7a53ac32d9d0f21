import type { CheckResult } from "../../job/result/result.ts";
import { useApp } from "../context/app-context.ts";
import { formatPercent } from "../i18n/units.ts";
import { checkDecimals, quantityOf, sourceWord } from "../i18n/words.ts";
import { Words } from "../parts/Words.tsx";

const patterns = 6;

/**
 * Where a check's uncertainty comes from: shares of the variance as one stacked bar. Parts differ
 * by pattern and are named in the list below it.
 */
export function BudgetBar({ check }: { readonly check: CheckResult }) {
  const { t, showUncertainty, locale } = useApp();
  const parts = check.budget.filter((part) => part.share > 0.0005);
  let start = 0;
  return (
    <figure className="budget">
      <svg
        className="budget-bar"
        viewBox="0 0 100 10"
        preserveAspectRatio="none"
        aria-hidden="true"
      >
        {parts.map((part, index) => {
          const at = start;
          start += part.share * 100;
          return (
            <rect
              key={part.source}
              className={`budget-part budget-${index % patterns}`}
              x={at}
              y={0}
              width={part.share * 100}
              height={10}
            />
          );
        })}
      </svg>
      <figcaption className="only-heard">{t("budget.title")}</figcaption>
      <ul className="budget-list">
        {parts.map((part, index) => (
          <li key={part.source}>
            <span className={`budget-key budget-${index % patterns}`} aria-hidden="true" />
            <span className="budget-name">
              <Words text={sourceWord(part.source, t)} />
              {part.source === "lens" && check.lenses
                ? check.lenses.map(({ phone, share }) => (
                    <span key={phone} className="small quiet budget-part-of">
                      {t("budget.lensOf", { phone, share: formatPercent(share, 1, locale) })}
                    </span>
                  ))
                : null}
            </span>
            <span className="number">{formatPercent(part.share, 1, locale)}</span>
            <span className="number quiet">
              {showUncertainty(
                Math.sqrt(part.share) * check.standardUncertainty,
                quantityOf(check),
                checkDecimals(check),
              )}
            </span>
          </li>
        ))}
      </ul>
      <p className="small quiet">{t("budget.explain")}</p>
    </figure>
  );
}
