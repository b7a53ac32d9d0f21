import { useApp, useJob } from "../../context/app-context.ts";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { carChecks } from "../../state/check-lists.ts";
import { reasonKey, reasons } from "../../state/title-block.ts";
import type { JobRecord } from "../../store/database/schema.ts";
import { CheckList } from "./CheckList.tsx";

export default function CarStage() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { car, title } = state.record;
  const set = (change: Partial<JobRecord["car"]>) =>
    session.update((record) => ({ ...record, car: { ...record.car, ...change } }));
  return (
    <>
      <Panel title={t("car.identity")}>
        <div className="form">
          <TextField
            label={t("car.title")}
            value={title}
            hint={t("car.titleHint")}
            testId="job-title"
            onChange={(value) => session.update((record) => ({ ...record, title: value }))}
          />
          <TextField
            label={t("car.description")}
            value={car.description}
            hint={t("car.descriptionHint")}
            testId="car-description"
            onChange={(description) => set({ description })}
          />
          <div className="form-pair">
            <TextField
              label={t("car.plate")}
              value={car.plate}
              onChange={(plate) => set({ plate })}
            />
            <TextField label={t("car.vin")} value={car.vin} onChange={(vin) => set({ vin })} />
          </div>
          <div className="form-pair">
            <TextField
              label={t("car.odometer")}
              value={car.odometer}
              onChange={(odometer) => set({ odometer })}
            />
            <TextField
              label={t("car.customer")}
              value={car.customer}
              onChange={(customer) => set({ customer })}
            />
          </div>
          <NumberField
            label={t("car.wheelbase")}
            value={car.wheelbaseMm}
            quantity="length"
            hint={t("car.wheelbaseHint")}
            problem={absurdWheelbase(car.wheelbaseMm) ? t("car.wheelbaseAbsurd") : null}
            testId="wheelbase"
            onChange={(wheelbaseMm) => set({ wheelbaseMm })}
          />
          <Wheelbase />
        </div>
      </Panel>
      <Panel title={t("car.reason")}>
        <div className="form">
          <SelectField
            label={t("car.reasonLabel")}
            value={car.reason}
            onChange={(reason) => set({ reason })}
            choices={[
              { value: "", label: t("car.reasonChoose") },
              ...reasons.map((reason) => ({ value: reason, label: t(reasonKey(reason)) })),
            ]}
          />
          <TextField
            label={t("car.reasonNote")}
            value={car.reasonNote}
            long
            onChange={(reasonNote) => set({ reasonNote })}
          />
        </div>
      </Panel>
      <Panel title={t("car.checks")}>
        <CheckList names={carChecks} states={car.checks} onChange={(checks) => set({ checks })} />
      </Panel>
    </>
  );
}

const absurdWheelbase = (mm: number | null): boolean => mm !== null && (mm < 1200 || mm > 6000);

/** The stated wheelbase against the measured one: a check of the whole measurement. */
function Wheelbase() {
  const { t, showMeasured, showUncertainty } = useApp();
  const { state } = useJob();
  const stated = state.record.car.wheelbaseMm;
  const line = state.result?.result.vehicle.find((item) => item.name === "wheelbase");
  if (stated === null || !line || absurdWheelbase(stated)) {
    return null;
  }
  const difference = line.value - stated;
  const values = {
    measured: showMeasured(line.value, "length", 1),
    uncertainty: showUncertainty(line.expandedUncertainty, "length", 1),
    difference: showMeasured(Math.abs(difference), "length", 1),
  };
  const suspicious = Math.abs(difference) > Math.max(15, 2 * line.expandedUncertainty);
  return suspicious ? (
    <Notice kind="warning" title={t("car.wheelbaseDiffers", values)}>
      <p>{t("car.wheelbaseDiffersHelp")}</p>
    </Notice>
  ) : (
    <Notice kind="info" title={t("car.wheelbaseAgrees", values)} />
  );
}
