import { type StepDraft, type TiltDraft, withTilts } from "../../../placement/sheet/draft.ts";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Words } from "../../parts/Words.tsx";

/** The tilts of a reflector plate as one row of angles with one tolerance. */
export function TiltRow(props: {
  readonly step: StepDraft;
  readonly place: string;
  readonly onChange: (step: StepDraft) => void;
}) {
  const { step, place, onChange } = props;
  const { t, showStated } = useApp();
  const tilts = step.tiltSteps ?? [];
  const named = (tilt: TiltDraft, at: number): TiltDraft =>
    tilt.label !== "" ? tilt : { ...tilt, label: t("sheet.tiltName", { number: at + 1 }) };
  const set = (next: readonly TiltDraft[]) => onChange(withTilts(step, next.map(named)));
  const tolerance = tilts[0]?.upperDeviation ?? null;
  return (
    <fieldset className="tuple tilt-row">
      <legend>
        <Words text={t("sheet.tilts")} />
      </legend>
      <p className="small quiet">{t("sheet.tiltsExplain")}</p>
      {tilts.map((tilt, at) => (
        // biome-ignore lint/suspicious/noArrayIndexKey: entries are edited in place by position
        <div className="tilt-row-entry" key={at}>
          <NumberField
            label={tilt.label}
            quantity="angle"
            signed
            value={tilt.pitch}
            at={`${place}.tilt${at}`}
            onChange={(pitch) =>
              set(tilts.map((old, index) => (index === at ? { ...old, pitch } : old)))
            }
          />
          <Button
            kind="bare"
            icon="bin"
            aria-label={`${t("form.remove")}: ${tilt.label} ${tilt.pitch === null ? "" : showStated(tilt.pitch, "angle")}`}
            onClick={() => set(tilts.filter((_, index) => index !== at))}
          />
        </div>
      ))}
      {tilts.length > 0 ? (
        <NumberField
          label={t("sheet.plusMinus")}
          quantity="angle"
          tolerance
          value={tolerance}
          at={`${place}.tilts`}
          onChange={(size) =>
            set(
              tilts.map((tilt) => ({
                ...tilt,
                lowerDeviation: size === null ? null : -size,
                upperDeviation: size,
              })),
            )
          }
        />
      ) : null}
      <div>
        <Button
          icon="plus"
          onClick={() =>
            set([
              ...tilts,
              {
                label: "",
                pitch: tilts.length === 0 ? 0 : null,
                lowerDeviation: tolerance === null ? null : -tolerance,
                upperDeviation: tolerance,
                reference: "",
              },
            ])
          }
        >
          {t("sheet.addTilt")}
        </Button>
      </div>
    </fieldset>
  );
}
