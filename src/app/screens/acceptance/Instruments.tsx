import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { ChoiceField, SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { type DraftInstrument, instrumentKinds } from "../../store/acceptance.ts";
import { newId } from "../../store/database/database.ts";
import type { DraftProps } from "./draft-props.ts";

/** With what the lengths were measured, and how right each is by its own papers. */
export function Instruments({ draft, change }: DraftProps) {
  const { t } = useApp();
  const set = (id: string, part: Partial<DraftInstrument>) =>
    change((d) => ({
      ...d,
      instruments: d.instruments.map((item) => (item.id === id ? { ...item, ...part } : item)),
    }));
  return (
    <Panel title={t("accept.instruments")}>
      <p>{t("accept.instrumentsText")}</p>
      {draft.instruments.map((instrument, index) => (
        <fieldset key={instrument.id} className="length">
          <legend>{t("accept.instrument", { number: index + 1 })}</legend>
          <div className="form-pair">
            <SelectField
              label={t("accept.kind")}
              value={instrument.kind}
              choices={instrumentKinds.map((kind) => ({
                value: kind,
                label: t(`accept.kind.${kind}`),
              }))}
              onChange={(kind) => set(instrument.id, { kind })}
            />
            <TextField
              label={t("accept.name")}
              value={instrument.name}
              onChange={(name) => set(instrument.id, { name })}
            />
          </div>
          <HowRight instrument={instrument} set={(part) => set(instrument.id, part)} />
        </fieldset>
      ))}
      <Button
        icon="plus"
        onClick={() =>
          change((d) => ({
            ...d,
            instruments: [
              ...d.instruments,
              {
                id: newId(),
                kind: "calibrated length",
                name: "",
                class: "II",
                fromHook: true,
                withinMm: 2,
                expandedMm: null,
              },
            ],
          }))
        }
      >
        {t("accept.addInstrument")}
      </Button>
      <NumberField
        label={t("accept.temperature")}
        hint={t("accept.temperatureHint")}
        signed
        value={draft.temperatureC}
        onChange={(temperatureC) => change((d) => ({ ...d, temperatureC }))}
      />
    </Panel>
  );
}

function HowRight(props: {
  readonly instrument: DraftInstrument;
  readonly set: (part: Partial<DraftInstrument>) => void;
}) {
  const { instrument, set } = props;
  const { t } = useApp();
  switch (instrument.kind) {
    case "steel tape":
      return (
        <>
          <ChoiceField
            label={t("accept.class")}
            value={instrument.class}
            choices={(["I", "II", "III"] as const).map((value) => ({ value, label: value }))}
            onChange={(grade) => set({ class: grade })}
          />
          <ChoiceField
            label={t("accept.hook")}
            value={instrument.fromHook ? "hook" : "line"}
            choices={[
              { value: "hook", label: t("accept.fromHook") },
              { value: "line", label: t("accept.fromLine") },
            ]}
            onChange={(from) => set({ fromHook: from === "hook" })}
          />
        </>
      );
    case "laser meter":
      return (
        <NumberField
          label={t("accept.within")}
          quantity="length"
          tolerance
          value={instrument.withinMm}
          onChange={(withinMm) => set({ withinMm })}
        />
      );
    case "calibrated length":
      return (
        <NumberField
          label={t("accept.expanded")}
          quantity="length"
          tolerance
          value={instrument.expandedMm}
          onChange={(expandedMm) => set({ expandedMm })}
        />
      );
  }
}
