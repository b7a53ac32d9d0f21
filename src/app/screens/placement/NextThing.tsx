import { isHeldBack } from "../../../job/result/outcome.ts";
import type { Result } from "../../../job/result/result.ts";
import { useApp, useJobState } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { AloudButton } from "../../parts/AloudButton.tsx";
import { ButtonLink } from "../../parts/Button.tsx";
import { Words } from "../../parts/Words.tsx";
import { activePhotos } from "../../state/job-state.ts";
import { stepPlace } from "../../state/steps.ts";
import { outcomeWord } from "./Verdict.tsx";

/** The one thing to do next, straight below the verdict. */
export function NextThing({ result }: { readonly result: Result }) {
  const { t } = useApp();
  const id = useJobState((state) => state.record.id);
  const after = useJobState((state) =>
    activePhotos(state, "boards").some(({ epoch }) => epoch === "after"),
  );
  const moreSteps = useJobState((state) => (stepPlace(state)?.next ?? null) !== null);
  const text = nextWords(result, after);
  const allMeet = result.outcome === "all meet";
  return (
    <div className="next-card" data-testid="next-thing">
      {allMeet && moreSteps ? null : (
        <>
          <p className="next-card-word">{t("verdict.next")}</p>
          <p className="next-card-text">
            <Words text={t(text)} />
          </p>
        </>
      )}
      <div className="button-row">
        {allMeet && !moreSteps ? (
          <ButtonLink
            href={after ? stageHref(id, "record") : stageHref(id, "photos", "after")}
            kind="now"
            icon={after ? "next" : "camera"}
          >
            {t(after ? "stage.record" : "verdict.nextAfter")}
          </ButtonLink>
        ) : null}
        <AloudButton text={`${outcomeWord(result.outcome, t)}. ${t(text)}`} />
      </div>
    </div>
  );
}

function nextWords(result: Result, after: boolean) {
  if (result.outcome === "all meet") {
    return after ? "verdict.nextRecord" : "verdict.nextRun";
  }
  if (isHeldBack(result)) {
    return "verdict.nextDoubt";
  }
  return result.moves.length > 0 ? "verdict.nextMove" : "verdict.nextProve";
}
