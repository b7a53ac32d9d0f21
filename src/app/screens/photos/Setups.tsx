import type { Result } from "../../../job/result/result.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { go, stageHref } from "../../context/routes.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Words } from "../../parts/Words.tsx";
import { stepPlace } from "../../state/steps.ts";

/**
 * In place of a verdict after the stand was moved: what was measured before says nothing about where
 * it stands now.
 */
export function StandMoved({ here = false }: { readonly here?: boolean }) {
  const { t } = useApp();
  const { session, state } = useJob();
  return (
    <Notice kind="now" title={t("placement.movedNoPhotos")} testId="stand-moved">
      <p>
        <Words text={t("moves.movedHint")} />
      </p>
      <div className="button-row">
        {here ? null : (
          <ButtonLink href={stageHref(state.record.id, "photos")} kind="now" icon="camera">
            {t("moves.shootAgain")}
          </ButtonLink>
        )}
        <Button onClick={() => session.undoSetup()}>{t("moves.notMoved")}</Button>
      </div>
    </Notice>
  );
}

/** After a step that stands right: its result is kept, and the next step begins. */
export function StepDone({ result }: { readonly result: Result }) {
  const { t } = useApp();
  const { session, state } = useJob();
  const place = stepPlace(state);
  if (result.outcome !== "all meet" || !place?.next) {
    return null;
  }
  const { next, present, steps } = place;
  return (
    <Notice
      kind="now"
      title={t("step.stands", { number: present + 1, count: steps.length })}
      testId="step-done"
    >
      <p>{t("step.then")}</p>
      <Button
        kind="now"
        icon="next"
        onClick={() => {
          session.keepStep(steps[present], next);
          go(stageHref(state.record.id, "photos"));
        }}
      >
        {t("step.goOn", { title: next.title })}
      </Button>
    </Notice>
  );
}
