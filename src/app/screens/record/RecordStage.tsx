import { useApp, useJob } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Words } from "../../parts/Words.tsx";
import { recordChecks } from "../../state/check-lists.ts";
import { presentResult, standPhotosMissing } from "../../state/job-state.ts";
import type { JobRecord } from "../../store/database/schema.ts";
import { CheckList } from "../car/CheckList.tsx";
import { ExportButton } from "../jobs/Backup.tsx";
import { StandMoved } from "../photos/Setups.tsx";
import { Attachments } from "./Attachments.tsx";
import { ClosedRevisions } from "./ClosedRevisions.tsx";
import { CloseRecord } from "./CloseRecord.tsx";
import { Copies } from "./leaving/Copies.tsx";
import { PrintedRecord } from "./PrintedRecord.tsx";
import { StabilityPanel } from "./StabilityPanel.tsx";

export default function RecordStage() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { record } = state.record;
  const moved = standPhotosMissing(state);
  const stored = presentResult(state);
  const stale = stored !== null && session.isStale();
  const printable = stored !== null && !stale;
  const set = (change: Partial<JobRecord["record"]>) =>
    session.update((job) => ({ ...job, record: { ...job.record, ...change } }));
  return (
    <>
      <Panel title={t("record.after")}>
        <CheckList
          names={recordChecks}
          states={record.checks}
          onChange={(checks) => set({ checks })}
        />
      </Panel>
      <Panel title={t("watch.title")}>
        <p>
          <Words text={t("watch.explain")} />
        </p>
        <ButtonLink href={stageHref(state.record.id, "photos", "watch")} icon="target">
          {t("watch.open")}
        </ButtonLink>
      </Panel>
      {moved ? <StandMoved /> : null}
      {stored ? <StabilityPanel result={stored.result} /> : null}
      <Panel title={t("record.who")}>
        <div className="form">
          <div className="form-pair">
            <TextField
              label={t("record.technician")}
              value={record.technician}
              onChange={(technician) => set({ technician })}
            />
            <TextField
              label={t("record.shop")}
              value={record.shop}
              onChange={(shop) => set({ shop })}
            />
          </div>
          <TextField
            label={t("record.procedure")}
            hint={t("record.procedureHint")}
            value={record.procedure}
            onChange={(procedure) => set({ procedure })}
          />
          <TextField
            label={t("record.scanBefore")}
            value={record.scanBefore}
            long
            onChange={(scanBefore) => set({ scanBefore })}
          />
          <TextField
            label={t("record.scanAfter")}
            value={record.scanAfter}
            long
            onChange={(scanAfter) => set({ scanAfter })}
          />
          <TextField
            label={t("record.note")}
            value={record.note}
            long
            onChange={(note) => set({ note })}
          />
        </div>
        <Attachments />
      </Panel>
      <Panel title={t("handOver.title")}>
        <CloseRecord canClose={stored !== null || state.failure !== null} />
        <ClosedRevisions />
      </Panel>
      <Panel title={t("copies.title")}>
        <Copies />
      </Panel>
      <Panel title={t("record.keep")}>
        <p>{t("record.keepExplain")}</p>
        <p className="quiet">{t("record.printPhotos")}</p>
        {printable ? null : (
          <p className="quiet" data-testid="not-printable">
            {t(stale ? "placement.stale" : "record.needsResult")}
          </p>
        )}
        <div className="button-row">
          <Button
            kind={stored?.result.outcome === "all meet" ? "now" : "plain"}
            icon="print"
            disabled={!printable}
            onClick={() => window.print()}
          >
            {t("record.print")}
          </Button>
          <ExportButton
            job={state.record}
            onSaved={(backedUpAt) => session.update((job) => ({ ...job, backedUpAt }))}
          />
        </div>
      </Panel>
      {stored && !stale ? <PrintedRecord result={stored.result} /> : null}
    </>
  );
}
