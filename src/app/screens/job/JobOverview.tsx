import { useApp, useJob } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { nextStage, nextText } from "../../context/stage-status.ts";
import { BayDrawing } from "../../drawing/bay/PlanView.tsx";
import { ButtonLink } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Words } from "../../parts/Words.tsx";
import { presentResult } from "../../state/job-state.ts";
import { jobTitle, reasonKey } from "../../state/title-block.ts";
import { HeldBack, OutcomeStamp } from "../placement/Verdict.tsx";
import { StageList } from "./StageList.tsx";

/** The job page: title block, what comes next, all stages. */
export function JobOverview() {
  const { t, when } = useApp();
  const { session, state } = useJob();
  const { record } = state;
  const stored = presentResult(state);
  const stale = stored !== null && session.isStale();
  const next = nextStage(state);
  const cells = [
    { name: t("block.car"), value: record.car.description || record.car.plate || "–" },
    { name: t("block.reason"), value: record.car.reason ? t(reasonKey(record.car.reason)) : "–" },
    { name: t("block.opened"), value: when(record.createdAt) },
    { name: t("block.technician"), value: record.record.technician || "–" },
  ];
  return (
    <div className="overview">
      <h1>{jobTitle(record, t("jobs.untitled"))}</h1>
      {record.invented ? <p className="quiet">{t("jobs.inventedLong")}</p> : null}
      <dl className="title-block">
        {cells.map((cell) => (
          <div key={cell.name}>
            <dt>{cell.name}</dt>
            <dd>{cell.value}</dd>
          </div>
        ))}
      </dl>
      {stored && !stale ? (
        <>
          <OutcomeStamp outcome={stored.result.outcome} />
          <HeldBack result={stored.result} />
        </>
      ) : null}
      {stale ? <Notice kind="warning" title={t("placement.stale")} /> : null}
      {next ? (
        <div className="next-card">
          <p className="next-card-word">{t("status.next")}</p>
          <p className="next-card-text">
            <Words text={t(nextText(state, next))} />
          </p>
          <ButtonLink href={stageHref(record.id, next)} kind="now" icon="next" testId="go-next">
            {t(`stage.${next}`)}
          </ButtonLink>
        </div>
      ) : null}
      <div className="overview-stages">
        <StageList current={null} />
      </div>
      {stored ? (
        <Panel title={t("drawing.title")}>
          <BayDrawing result={stored.result} />
        </Panel>
      ) : null}
    </div>
  );
}
