import { useApp, useJob } from "../app-context.ts";
import { BayDrawing } from "../drawing/PlanView.tsx";
import { TextField } from "../parts/Fields.tsx";
import { Notice } from "../parts/Notice.tsx";
import { Panel } from "../parts/Panel.tsx";
import { bayChecks } from "../session/check-lists.ts";
import { spaceNeeded } from "../session/space.ts";
import type { JobRecord } from "../storage/schema.ts";
import { CheckList } from "./CheckList.tsx";
import { Light } from "./Light.tsx";

export default function BayStage() {
  const { t, show } = useApp();
  const { session, state } = useJob();
  const { bay } = state.record;
  const set = (change: Partial<JobRecord["bay"]>) =>
    session.update((record) => ({ ...record, bay: { ...record.bay, ...change } }));
  const space = spaceNeeded(state.record.placement.sheet);
  const result = state.result?.result ?? null;
  const floor = result?.remarks.filter((remark) => remark.code.startsWith("floor")) ?? [];
  return (
    <>
      <Panel title={t("bay.checks")}>
        <CheckList names={bayChecks} states={bay.checks} onChange={(checks) => set({ checks })} />
      </Panel>
      <Panel title={t("bay.space")}>
        {space ? (
          <p>
            {t("bay.spaceNeeded", {
              ahead: show(space.aheadMm, "length", 0),
              left: show(space.leftMm, "length", 0),
              right: show(space.rightMm, "length", 0),
            })}
          </p>
        ) : (
          <p className="quiet">{t("bay.spaceUnknown")}</p>
        )}
        {result ? <BayDrawing result={result} /> : null}
      </Panel>
      <Panel title={t("bay.light")}>
        <Light />
      </Panel>
      <Panel title={t("bay.floor")}>
        {result ? <FloorLines /> : <p className="quiet">{t("bay.floorUnknown")}</p>}
        {floor.map((remark) => (
          <Notice key={remark.message} kind={remark.severity} title={remark.message}>
            <p>{remark.remedy}</p>
          </Notice>
        ))}
      </Panel>
      <Panel title={t("bay.notes")}>
        <div className="form">
          <TextField label={t("bay.name")} value={bay.name} onChange={(name) => set({ name })} />
          <TextField
            label={t("bay.note")}
            value={bay.note}
            long
            onChange={(note) => set({ note })}
          />
        </div>
      </Panel>
    </>
  );
}

/** Slope and unevenness, where the measurement has them. */
function FloorLines() {
  const { t, show } = useApp();
  const { state } = useJob();
  const lines =
    state.result?.result.vehicle.filter((line) => /floor|slope|flat/i.test(line.name)) ?? [];
  if (lines.length === 0) {
    return <p className="quiet">{t("bay.floorMeasured")}</p>;
  }
  return (
    <dl className="facts">
      {lines.map((line) => (
        <div key={line.name}>
          <dt>{line.label}</dt>
          <dd className="number">
            {show(line.value, line.unit === "mm" ? "length" : "angle", line.unit === "mm" ? 1 : 2)}
            {" ± "}
            {show(
              line.expandedUncertainty,
              line.unit === "mm" ? "length" : "angle",
              line.unit === "mm" ? 1 : 2,
            )}
          </dd>
        </div>
      ))}
    </dl>
  );
}
