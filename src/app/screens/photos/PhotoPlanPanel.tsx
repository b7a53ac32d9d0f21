import { useEffect } from "react";
import type { PhotoPlan, PlannedCheck } from "../../../plan/plan-types.ts";
import {
  endSentence,
  floorBoardSentence,
  lengthSentence,
  type Sentence,
  shotSentence,
  slipSentence,
} from "../../../plan/words.ts";
import { useApp, useJobState, useSession } from "../../context/app-context.ts";
import { PlanDrawing } from "../../drawing/bay/PlanDrawing.tsx";
import { Notice, Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { planDigest } from "../../photos/plan-guide.ts";
import type { JobState } from "../../state/job-state.ts";

/** Which photos to take, drawn and in words; after each photo what is proven and the next one. */
export function PhotoPlanPanel() {
  const { t } = useApp();
  const session = useSession();
  useEffect(() => session.watchPlan(), [session]);
  const noSheet = useJobState((state) => state.record.placement.sheet === null);
  const answer = useJobState((state) => state.plan?.answer ?? null);
  const current = useJobState((state: JobState) =>
    state.plan?.inputs === planDigest(state, session.engineVersion) ? "yes" : "no",
  );
  const failed = useJobState((state: JobState) =>
    state.planFailure?.inputs === planDigest(state, session.engineVersion)
      ? state.planFailure.reason
      : null,
  );
  if (noSheet) {
    return (
      <Panel title={t("plan.title")} testId="photo-plan">
        <p>{t("plan.noSheet")}</p>
      </Panel>
    );
  }
  if (failed !== null) {
    return (
      <Panel title={t("plan.title")} testId="photo-plan">
        <Notice kind="warning" title={t("plan.failed")} testId="plan-failed">
          <p>{t("plan.failedRemedy")}</p>
          <p className="small quiet">{failed}</p>
          <button type="button" className="button" onClick={() => session.planAgain()}>
            {t("action.tryAgain")}
          </button>
        </Notice>
        {answer?.ok ? <Plan plan={answer.plan} /> : null}
      </Panel>
    );
  }
  if (!answer) {
    return (
      <Panel title={t("plan.title")} testId="photo-plan">
        <p className="quiet" aria-live="polite">
          {t("plan.working")}
        </p>
      </Panel>
    );
  }
  if (!answer.ok) {
    return (
      <Panel title={t("plan.title")} testId="photo-plan">
        <p>{t("plan.lacks")}</p>
        <Remarks remarks={answer.remarks} />
      </Panel>
    );
  }
  return (
    <Panel
      title={t("plan.title")}
      testId="photo-plan"
      aside={current === "yes" ? null : <span className="quiet">{t("plan.working")}</span>}
    >
      <Plan plan={answer.plan} />
    </Panel>
  );
}

function Plan({ plan }: { readonly plan: PhotoPlan }) {
  const { t, say } = useApp();
  const said = ({ said, text }: Sentence): string => say(said, text);
  const end = endSentence(plan);
  const [next] = plan.shots;
  const floor = plan.bay.boards.filter(({ key }) => Number(key) >= 11 && Number(key) <= 29);
  const worth = plan.length;
  const worthCheck = worth && plan.checks.find(({ id }) => id === worth.check);
  const worthLabel = worthCheck ? say(worthCheck.labelSaid, worthCheck.label) : "";
  return (
    <>
      {plan.taken === 0 ? (
        <p>{t("plan.rough", { count: plan.shots.length })}</p>
      ) : end ? (
        <Notice kind="info" title={said(end)} testId="plan-end" />
      ) : next ? (
        <Notice kind="now" title={t("plan.next")} testId="plan-next">
          <p>{said(shotSentence(next))}</p>
          <Brings plan={plan} />
        </Notice>
      ) : null}
      <PlanDrawing plan={plan} />
      {plan.shots.length > 0 ? (
        <ol className="plan-shots" data-testid="plan-shots">
          {plan.shots.map((shot) => (
            <li key={shot.number}>{said(shotSentence(shot))}</li>
          ))}
        </ol>
      ) : null}
      {plan.taken > 0 ? <Seen plan={plan} /> : null}
      <Checks checks={plan.checks} />
      {worth && worthCheck ? <p>{said(lengthSentence(worth, worthLabel))}</p> : null}
      {plan.slipMm === null ? null : (
        <p className="small quiet">{said(slipSentence(plan.slipMm))}</p>
      )}
      {plan.taken === 0 ? (
        <details className="fold">
          <summary>
            <span>{t("plan.floorBoards")}</span>
          </summary>
          <div className="fold-body">
            <ul>
              {floor.map(({ key, pose }) => (
                <li key={key}>{said(floorBoardSentence(Number(key), pose.t[0], pose.t[1]))}</li>
              ))}
            </ul>
          </div>
        </details>
      ) : null}
    </>
  );
}

/** What the next photo brings to the check that lacks most. */
function Brings({ plan: { gain, checks } }: { readonly plan: PhotoPlan }) {
  const { t, say, showUncertainty } = useApp();
  const check = gain && checks.find(({ id }) => id === gain.check);
  if (!gain || !check || gain.from === null || gain.from <= gain.to) {
    return null;
  }
  const quantity = check.unit === "mm" ? "length" : "angle";
  return (
    <p>
      {t("plan.brings", {
        check: say(check.labelSaid, check.label),
        from: showUncertainty(gain.from, quantity, 1),
        to: showUncertainty(gain.to, quantity, 1),
      })}
    </p>
  );
}

/** Boards seen often enough, once, and not yet. */
function Seen({ plan: { boards, times } }: { readonly plan: PhotoPlan }) {
  const { t } = useApp();
  const ids = (wanted: (seen: number) => boolean): string =>
    boards
      .filter(({ seen }) => wanted(seen))
      .map(({ key }) => key)
      .join(", ");
  const rows = [
    [t("plan.seenNot"), ids((seen) => seen === 0)],
    [t("plan.seenOnce"), ids((seen) => seen > 0 && seen < times)],
    [t("plan.seenOften"), ids((seen) => seen >= times)],
  ].filter(([, list]) => list !== "");
  return (
    <dl className="facts" data-testid="plan-seen">
      {rows.map(([name, list]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd className="number">{list}</dd>
        </div>
      ))}
    </dl>
  );
}

function Checks({ checks }: { readonly checks: readonly PlannedCheck[] }) {
  const { t, say, showUncertainty } = useApp();
  const cell = (value: number | null, unit: "mm" | "deg"): string =>
    value === null
      ? "–"
      : `± ${showUncertainty(value, unit === "mm" ? "length" : "angle", unit === "mm" ? 1 : 2)}`;
  const now = checks.some((check) => check.now !== null);
  return (
    <div className="table-scroll">
      <table className="facts-table" data-testid="plan-checks">
        <thead>
          <tr>
            <th scope="col">{t("plan.check")}</th>
            <th scope="col" className="number">
              {t("plan.asked")}
            </th>
            {now ? (
              <th scope="col" className="number">
                {t("plan.now")}
              </th>
            ) : null}
            <th scope="col" className="number">
              {t("plan.planned")}
            </th>
          </tr>
        </thead>
        <tbody>
          {checks.map((check) => (
            <tr key={check.id}>
              <th scope="row">
                {say(check.labelSaid, check.label)}
                {check.outOfReach ? (
                  <span className="block small">{t("plan.outOfReach")}</span>
                ) : null}
              </th>
              <td className="number">{cell(check.asked, check.unit)}</td>
              {now ? <td className="number">{cell(check.now, check.unit)}</td> : null}
              <td className="number">{cell(check.planned, check.unit)}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </div>
  );
}
