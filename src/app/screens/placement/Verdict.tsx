import { isHeldBack, outcomeByNumbers } from "../../../job/result/outcome.ts";
import type { Result, Verdict } from "../../../job/result/result.ts";
import { useApp } from "../../context/app-context.ts";
import type { Translate } from "../../i18n/translate.ts";
import { verdictWord } from "../../i18n/words.ts";
import { Icon } from "../../parts/icons/Icon.tsx";
import { Notice } from "../../parts/Notice.tsx";

const marks = { meets: "check", misses: "cross", "not proven": "dash" } as const;

/** Tick, cross or dash beside the word; alone it is read out as the word. */
export function VerdictMark({ verdict }: { readonly verdict: Verdict }) {
  const { t } = useApp();
  return (
    <span className="verdict-mark">
      <Icon name={marks[verdict]} />
      <span className="only-heard">{verdictWord(verdict, t)}</span>
    </span>
  );
}

/** The verdict as a word in a frame: full line, filled, dashed. The word carries the meaning. */
export function VerdictStamp({ verdict }: { readonly verdict: Verdict }) {
  const { t } = useApp();
  return (
    <span className={`stamp stamp-${verdict.replace(" ", "-")}`}>
      <Icon name={marks[verdict]} />
      <span>{verdictWord(verdict, t)}</span>
    </span>
  );
}

const outcomes = {
  "all meet": { key: "outcome.allMeet", style: "meets", mark: "check" },
  "some miss": { key: "outcome.someMiss", style: "misses", mark: "cross" },
  "not proven": { key: "outcome.notProven", style: "not-proven", mark: "dash" },
} as const;

export const outcomeWord = (outcome: Result["outcome"], t: Translate): string =>
  t(outcomes[outcome].key);

/** The outcome of the whole placement, large. */
export function OutcomeStamp(props: {
  readonly outcome: Result["outcome"];
  /** A document says what was measured; "yet" belongs to the work. */
  readonly onPaper?: boolean;
}) {
  const { outcome, onPaper } = props;
  const { t } = useApp();
  const { key, style, mark } = outcomes[outcome];
  return (
    <p className={`stamp stamp-large stamp-${style}`} data-testid="outcome" data-outcome={outcome}>
      <Icon name={mark} />
      <span>{t(onPaper ? `record.outcome.${outcome}` : key)}</span>
    </p>
  );
}

/** Why nothing counts as proven, each reason with what to do; nothing where no doubt is left. */
export function HeldBack({ result }: { readonly result: Result }) {
  const { t, sayRemark } = useApp();
  if (result.heldBack.length === 0) {
    return null;
  }
  const inside = isHeldBack(result) && outcomeByNumbers(result) === "all meet";
  const title = t(inside ? "outcome.heldBack" : "outcome.doubts");
  return (
    <Notice kind="warning" title={title} testId="held-back">
      <ul>
        {result.heldBack.map((remark) => {
          const { message, remedy } = sayRemark(remark);
          return (
            <li key={remark.code + remark.message}>
              {message} {remedy}
            </li>
          );
        })}
      </ul>
    </Notice>
  );
}

/** The remarks beside those that the verdict itself names as its reasons. */
export const remarksBeside = ({ remarks, heldBack }: Result): Result["remarks"] => {
  const said = new Set(heldBack.map(({ code, message }) => code + message));
  return remarks.filter(({ code, message }) => !said.has(code + message));
};
