import type { Result, Verdict } from "../../job/result.ts";
import { useApp } from "../app-context.ts";
import { verdictWord } from "../words.ts";

/** The verdict as a word in a frame: full line, filled, dashed. The word carries the meaning. */
export function VerdictStamp({ verdict }: { readonly verdict: Verdict }) {
  const { t } = useApp();
  return (
    <span className={`stamp stamp-${verdict.replace(" ", "-")}`}>{verdictWord(verdict, t)}</span>
  );
}

/** The outcome of the whole placement, large. */
export function OutcomeStamp({ outcome }: { readonly outcome: Result["outcome"] }) {
  const { t } = useApp();
  const [word, style] =
    outcome === "all meet"
      ? [t("outcome.allMeet"), "meets"]
      : outcome === "some miss"
        ? [t("outcome.someMiss"), "misses"]
        : [t("outcome.notProven"), "not-proven"];
  return (
    <p className={`stamp stamp-large stamp-${style}`} data-testid="outcome" data-outcome={outcome}>
      {word}
    </p>
  );
}
