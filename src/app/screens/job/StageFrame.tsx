import type { ReactNode } from "react";
import { sameContent, useApp, useJobState } from "../../context/app-context.ts";
import { jobHref, type Stage, stageHref, stages } from "../../context/routes.ts";
import { isFinished, stageStatuses } from "../../context/stage-status.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Balloon } from "../../parts/icons/Balloon.tsx";

/** Head of a stage, its content, and the way to the neighbouring stages. */
export function StageFrame(props: {
  readonly stage: Stage;
  /** What is open within the stage: there the accent belongs to what is done there. */
  readonly detail: string;
  readonly children: ReactNode;
}) {
  const { stage, detail, children } = props;
  const { t } = useApp();
  const id = useJobState((state) => state.record.id);
  const index = stages.indexOf(stage);
  const status = useJobState((state) => stageStatuses(state)[index], sameContent);
  const before = stages[index - 1];
  const after = stages[index + 1];
  return (
    <>
      <header className="stage-head">
        <Balloon number={index + 1} state={status.done ? "done" : "next"} />
        <div>
          <h1>{t(`stage.${stage}`)}</h1>
          <p className="quiet" data-testid="stage-status">
            {t(status.text, status.parameters)}
          </p>
        </div>
      </header>
      {children}
      <footer className="stage-foot">
        {before ? (
          <ButtonLink href={stageHref(id, before)} icon="back">
            {t(`stage.${before}`)}
          </ButtonLink>
        ) : (
          <ButtonLink href={jobHref(id)} icon="back">
            {t("job.overview")}
          </ButtonLink>
        )}
        {after ? (
          <ButtonLink
            href={stageHref(id, after)}
            kind={isFinished(status) && detail === "" ? "now" : "plain"}
            icon="next"
          >
            {t(`stage.${after}`)}
          </ButtonLink>
        ) : null}
      </footer>
    </>
  );
}
