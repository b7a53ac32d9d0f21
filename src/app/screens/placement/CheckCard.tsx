import { doubtfulVerdict } from "../../../job/result/outcome.ts";
import type { CheckResult } from "../../../job/result/result.ts";
import { useApp } from "../../context/app-context.ts";
import { BudgetBar } from "../../drawing/BudgetBar.tsx";
import { NumberLine } from "../../drawing/NumberLine.tsx";
import { formatProbability } from "../../i18n/units.ts";
import {
  checkDecimals,
  checkName,
  deviationWords,
  quantityOf,
  valueWords,
  verdictWord,
} from "../../i18n/words.ts";
import { Later } from "../../parts/Later.tsx";
import { Words } from "../../parts/Words.tsx";
import { VerdictStamp } from "./Verdict.tsx";

/** One check: word, number line, numbers in words, and where the uncertainty comes from. */
export function CheckCard({ check }: { readonly check: CheckResult }) {
  const { t, showMeasured, showUncertainty, showBoth, say, locale } = useApp();
  const decimals = checkDecimals(check);
  const quantity = quantityOf(check);
  const says = doubtfulVerdict(check);
  return (
    <li
      className="check-card"
      data-testid="check"
      data-id={check.id}
      data-verdict={check.verdict}
      data-measured={check.measured}
      data-required={check.required}
      data-standard-uncertainty={check.standardUncertainty}
      data-expanded-uncertainty={check.expandedUncertainty}
      data-probability={check.probability}
    >
      <div className="check-card-head">
        <h3>
          <Words text={checkName(check, t) ?? say(check.labelSaid, check.label)} />
        </h3>
        <VerdictStamp verdict={check.verdict} />
      </div>
      <p className="check-card-words">
        <Words text={deviationWords(check, t, showBoth)} />
      </p>
      <NumberLine check={check} />
      <p className="check-card-numbers">
        <Words
          text={t("verdict.measured", {
            measured: valueWords(check, check.measured, decimals, t, showMeasured),
            uncertainty: showUncertainty(check.expandedUncertainty, quantity, decimals),
          })}
        />
      </p>
      {says ? (
        <p className="check-card-advice">
          {t("verdict.byNumber", { verdict: verdictWord(says, t) })}
        </p>
      ) : null}
      {check.advice ? (
        <p className="check-card-advice">
          <Words text={say(check.adviceSaid, check.advice)} />
        </p>
      ) : null}
      <details className="fold">
        <summary>
          <span>{t("verdict.figures")}</span>
        </summary>
        <div className="fold-body">
          <p>
            <Words
              text={t("verdict.probability", {
                probability: formatProbability(check.probability, locale),
              })}
            />
          </p>
          <h4>{t("budget.title")}</h4>
          <Later>
            <BudgetBar check={check} />
          </Later>
          {check.reference ? (
            <p className="small">
              {t("check.reference")}: {check.reference}
            </p>
          ) : null}
        </div>
      </details>
    </li>
  );
}
