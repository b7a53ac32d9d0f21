import { lazy } from "react";
import { useApp, useJob } from "../app-context.ts";
import { BayDrawing } from "../drawing/PlanView.tsx";
import { ButtonLink } from "../parts/Button.tsx";
import { Notice, Remarks } from "../parts/Notice.tsx";
import { Panel } from "../parts/Panel.tsx";
import { stageHref } from "../routes.ts";
import { activePhotos, standPhotosMissing } from "../session/job-state.ts";
import { CheckCard } from "./CheckCard.tsx";
import { CrossCheck } from "./CrossCheck.tsx";
import type { StageProps } from "./JobScreen.tsx";
import { MovesPanel, MovesScreen } from "./Moves.tsx";
import { StandMoved, StepDone } from "./Setups.tsx";
import { SheetSummary } from "./SheetSummary.tsx";
import { VehicleFacts } from "./VehicleFacts.tsx";
import { OutcomeStamp } from "./Verdict.tsx";

/** The editor brings the whole schema with it, so it comes only when it is opened. */
const SheetScreen = lazy(() => import("./SheetScreen.tsx"));

export default function PlacementStage({ detail }: StageProps) {
  const { state } = useJob();
  if (detail === "moves" && state.result) {
    return <MovesScreen result={state.result.result} />;
  }
  return detail === "sheet" ? <SheetScreen /> : <Placement />;
}

function Placement() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { record, failure } = state;
  const stored = state.result;
  const stale = session.isStale() && state.computing === null && state.working.size === 0;
  return (
    <>
      <Panel title={t("sheet.title")}>
        <SheetSummary />
      </Panel>
      {failure ? (
        <Panel title={t("placement.noResult")}>
          <Remarks remarks={failure.remarks} />
        </Panel>
      ) : null}
      {!stored && !failure ? (
        <Notice
          kind="now"
          title={t(whatIsMissing(record.placement.sheet, activePhotos(state, "boards").length))}
        >
          <ButtonLink
            href={stageHref(
              record.id,
              record.placement.sheet ? "photos" : "placement",
              record.placement.sheet ? "" : "sheet",
            )}
            kind="now"
          >
            {t(record.placement.sheet ? "stage.photos" : "sheet.choose")}
          </ButtonLink>
        </Notice>
      ) : null}
      {stored ? (
        <>
          {stale ? <Notice kind="warning" title={t("placement.stale")} testId="stale" /> : null}
          {standPhotosMissing(state) ? (
            <StandMoved />
          ) : (
            <>
              <OutcomeStamp outcome={stored.result.outcome} />
              {stale ? null : <StepDone result={stored.result} />}
              <MovesPanel result={stored.result} />
              <Panel title={t("placement.checks")}>
                <ul className="check-cards">
                  {stored.result.checks.map((check) => (
                    <CheckCard key={check.id} check={check} />
                  ))}
                </ul>
              </Panel>
              <Panel title={t("drawing.title")}>
                <BayDrawing result={stored.result} />
              </Panel>
            </>
          )}
          <VehicleFacts result={stored.result} />
          <CrossCheck result={stored.result} />
          {stored.result.remarks.length > 0 ? (
            <Panel title={t("placement.remarks")}>
              <Remarks remarks={stored.result.remarks} />
            </Panel>
          ) : null}
        </>
      ) : null}
    </>
  );
}

const whatIsMissing = (sheet: unknown, photos: number) =>
  sheet === null
    ? ("placement.needSheet" as const)
    : photos === 0
      ? ("placement.needPhotos" as const)
      : ("placement.waiting" as const);
