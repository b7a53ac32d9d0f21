import { lazy, useMemo } from "react";
import type { Remark } from "../../../job/result/remark-codes.ts";
import type { Result } from "../../../job/result/result.ts";
import { placementSheetSchema } from "../../../placement/sheet/sheet.ts";
import { questionsAbout } from "../../../placement/sheet/sheet-questions.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import type { StageProps } from "../../context/routes.ts";
import { stageHref } from "../../context/routes.ts";
import { BayDrawing } from "../../drawing/bay/PlanView.tsx";
import { ButtonLink } from "../../parts/Button.tsx";
import { Later } from "../../parts/Later.tsx";
import { FoldedRemarks, Notice, Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { activePhotos, presentResult, standPhotosMissing } from "../../state/job-state.ts";
import { StandMoved, StepDone } from "../photos/Setups.tsx";
import { CheckCard } from "./CheckCard.tsx";
import { CrossCheck } from "./CrossCheck.tsx";
import { MovesPanel, MovesScreen } from "./Moves.tsx";
import { NextThing } from "./NextThing.tsx";
import { SheetSummary } from "./SheetSummary.tsx";
import { VehicleFacts } from "./VehicleFacts.tsx";
import { HeldBack, OutcomeStamp, remarksBeside } from "./Verdict.tsx";
import { WasAndIs } from "./WasAndIs.tsx";

/** The editor brings the whole schema with it, so it comes only when it is opened. */
const SheetStage = lazy(() => import("../sheet/SheetStage.tsx"));

export default function PlacementStage({ detail }: StageProps) {
  const { state } = useJob();
  const stored = presentResult(state);
  if (detail === "moves" && stored) {
    return <MovesScreen result={stored.result} />;
  }
  return detail === "sheet" ? <SheetStage detail="" /> : <Placement />;
}

function Placement() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { record, failure } = state;
  const stored = failure ? null : state.result;
  const hasPhotos = activePhotos(state, "boards").length > 0;
  const stale = session.isStale() && state.computing === null && state.working.size === 0;
  return (
    <>
      {stored && record.placement.sheet !== null ? null : (
        <Panel title={t("sheet.title")}>
          <SheetSummary />
        </Panel>
      )}
      {failure ? (
        <Panel title={t("placement.noResult")}>
          <FailureRemarks remarks={failure.remarks} />
        </Panel>
      ) : null}
      {!stored && !failure && record.placement.sheet !== null ? (
        <Notice kind="now" title={t(hasPhotos ? "placement.waiting" : "placement.needPhotos")}>
          <ButtonLink href={stageHref(record.id, "photos")} kind="now">
            {t("stage.photos")}
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
              {stale ? null : <NextThing result={stored.result} />}
              {stale ? null : <StepDone result={stored.result} />}
              <HeldBack result={stored.result} />
              <WasAndIs result={stored.result} />
              <div className="side-by-side">
                <div>
                  <MovesPanel result={stored.result} />
                  <Panel title={t("drawing.title")}>
                    <Later>
                      <BayDrawing result={stored.result} />
                    </Later>
                  </Panel>
                </div>
                <Panel title={t("placement.checks")}>
                  <ul className="check-cards">
                    {stored.result.checks.map((check) => (
                      <CheckCard key={check.id} check={check} />
                    ))}
                  </ul>
                </Panel>
              </div>
            </>
          )}
          <Cautions remarks={remarksBeside(stored.result)} />
          {record.placement.sheet === null ? null : (
            <Panel title={t("sheet.title")}>
              <SheetSummary />
            </Panel>
          )}
          <Later>
            <VehicleFacts result={stored.result} />
            <CrossCheck result={stored.result} />
          </Later>
        </>
      ) : null}
      <div className="button-row">
        <ButtonLink href={stageHref(record.id, "photos", "level")}>{t("level.open")}</ButtonLink>
      </div>
    </>
  );
}

/** What was noticed beside the verdict and does not stand against it: folded, once. */
function Cautions({ remarks }: { readonly remarks: Result["remarks"] }) {
  const { t } = useApp();
  return remarks.length === 0 ? null : (
    <details className="fold fold-panel" data-testid="cautions">
      <summary>
        <span>{t("verdict.cautions", { count: remarks.length })}</span>
      </summary>
      <div className="fold-body">
        <FoldedRemarks remarks={remarks} />
      </div>
    </details>
  );
}

/** Why there is no result; what the sheet's own panel already says is left out. */
function FailureRemarks({ remarks }: { readonly remarks: readonly Remark[] }) {
  const { t } = useApp();
  const { state } = useJob();
  const { sheet } = state.record.placement;
  const said = useMemo(() => {
    const parsed = placementSheetSchema.safeParse(sheet);
    return new Set(parsed.success ? questionsAbout(parsed.data).map(({ message }) => message) : []);
  }, [sheet]);
  const others = remarks.filter(({ message }) => !said.has(message));
  return others.length > 0 ? <Remarks remarks={others} /> : <p>{t("placement.sheetStops")}</p>;
}
