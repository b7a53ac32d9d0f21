import { useApp, useJob } from "../../context/app-context.ts";
import { BayDrawing } from "../../drawing/bay/PlanView.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Words } from "../../parts/Words.tsx";
import { bayChecks } from "../../state/check-lists.ts";
import type { JobRecord } from "../../store/database/schema.ts";
import { CheckList } from "./CheckList.tsx";
import { Light } from "./Light.tsx";
import { spaceNeeded } from "./space.ts";

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
            <Words
              text={t("bay.spaceNeeded", {
                ahead: show(space.aheadMm, "length", 0),
                left: show(space.leftMm, "length", 0),
                right: show(space.rightMm, "length", 0),
                walk: show(1000, "length", 0),
              })}
            />
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
        {!result || floor.every(({ severity }) => severity === "info") ? (
          <p className="quiet">
            <Words text={t(result ? "bay.floorMeasured" : "bay.floorUnknown")} />
          </p>
        ) : null}
        <Remarks remarks={floor} />
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
