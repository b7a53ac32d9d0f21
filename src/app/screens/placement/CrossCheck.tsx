import type { Result } from "../../../job/result/result.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { quantityOf } from "../../i18n/words.ts";
import { Button } from "../../parts/Button.tsx";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { newId } from "../../store/database/database.ts";
import type { Reading } from "../../store/database/schema.ts";
import { compareReading } from "./readings.ts";

/** Readings by tape, laser or another system against the measured values (En number). */
export function CrossCheck({ result }: { readonly result: Result }) {
  const { t } = useApp();
  const { session, state } = useJob();
  const { readings } = state.record.placement;
  const setAll = (next: Reading[]) =>
    session.update((record) => ({
      ...record,
      placement: { ...record.placement, readings: next },
    }));
  return (
    <Panel title={t("cross.title")}>
      <p>{t("cross.explain")}</p>
      {readings.map((reading) => (
        <ReadingForm
          key={reading.id}
          reading={reading}
          result={result}
          onChange={(part) =>
            setAll(readings.map((item) => (item.id === reading.id ? { ...item, ...part } : item)))
          }
          onRemove={() => setAll(readings.filter((item) => item.id !== reading.id))}
        />
      ))}
      <Button
        icon="plus"
        onClick={() =>
          setAll([
            ...readings,
            {
              id: newId(),
              checkId: result.checks[0]?.id ?? "",
              value: null,
              expandedUncertainty: null,
              how: "",
            },
          ])
        }
      >
        {t("cross.add")}
      </Button>
    </Panel>
  );
}

interface ReadingFormProps {
  readonly reading: Reading;
  readonly result: Result;
  readonly onChange: (part: Partial<Reading>) => void;
  readonly onRemove: () => void;
}

function ReadingForm({ reading, result, onChange, onRemove }: ReadingFormProps) {
  const { t, say } = useApp();
  const check = result.checks.find((item) => item.id === reading.checkId);
  const quantity = check ? quantityOf(check) : "length";
  const found = check ? compareReading(reading, check, t("cross.nameless")) : null;
  return (
    <div className="reading form">
      <SelectField
        label={t("cross.check")}
        value={reading.checkId}
        choices={result.checks.map((item) => ({
          value: item.id,
          label: say(item.labelSaid, item.label),
        }))}
        onChange={(checkId) => onChange({ checkId })}
      />
      <div className="form-pair">
        <NumberField
          label={t("cross.value")}
          quantity={quantity}
          signed
          at={`readings.${reading.id}.value`}
          value={reading.value}
          onChange={(value) => onChange({ value })}
        />
        <NumberField
          label={t("cross.uncertainty")}
          quantity={quantity}
          tolerance
          at={`readings.${reading.id}.sure`}
          value={reading.expandedUncertainty}
          problem={
            reading.expandedUncertainty !== null && reading.expandedUncertainty <= 0
              ? t("field.mustBePositive")
              : null
          }
          onChange={(expandedUncertainty) => onChange({ expandedUncertainty })}
        />
      </div>
      <TextField label={t("cross.how")} value={reading.how} onChange={(how) => onChange({ how })} />
      {found ? (
        <p role="status" data-testid="cross-check">
          {say(found.said, found.sentence)}
        </p>
      ) : null}
      <Button kind="bare" icon="bin" onClick={onRemove}>
        {t("form.remove")}
      </Button>
    </div>
  );
}
