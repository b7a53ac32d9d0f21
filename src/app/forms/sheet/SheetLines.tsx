import type { SheetDraft } from "../../../placement/sheet/draft.ts";
import { useApp } from "../../context/app-context.ts";
import { ChoiceField, TextField } from "../../parts/fields/Fields.tsx";

interface SheetLinesProps {
  readonly draft: SheetDraft;
  readonly onChange: (draft: SheetDraft, what?: string) => void;
}

const origins = ["front-axle line", "rear-axle line", "dropped point"] as const;
const axes = ["geometric centreline", "thrust line"] as const;
const floors = ["floor under the target", "floor under the car"] as const;

/** Where the numbers come from, and from which lines of the car they count: shown, one tap to change. */
export function SheetLines({ draft, onChange }: SheetLinesProps) {
  const { t } = useApp();
  const { origin, axis, heightReference } = draft;
  const kind = origins.find((item) => item === origin.kind) ?? "front-axle line";
  const name = typeof origin.name === "string" ? origin.name : "";
  return (
    <>
      <div className="form">
        <TextField
          label={t("sheet.source")}
          hint={t("sheet.sourceHint")}
          value={draft.source}
          testId="sheet-source"
          onChange={(source) => onChange({ ...draft, source }, "source")}
        />
      </div>
      <details className="fold">
        <summary>
          <span>
            {t("sheet.linesAre", {
              origin: kind === "dropped point" && name !== "" ? name : t(`word.${kind}`),
              axis: t(`word.${axis}`),
              floor: t(`word.${heightReference}`),
            })}
          </span>
          <span className="quiet small">{t("sheet.linesChange")}</span>
        </summary>
        <div className="fold-body form">
          <ChoiceField
            label={t("field.origin")}
            value={kind}
            choices={origins.map((value) => ({ value, label: t(`word.${value}`) }))}
            onChange={(next) =>
              onChange({
                ...draft,
                origin: next === "dropped point" ? { kind: next, name } : { kind: next },
              })
            }
          />
          {kind === "dropped point" ? (
            <>
              <TextField
                label={t("sheet.pointName")}
                hint={t("sheet.pointNameHint")}
                value={name}
                onChange={(next) =>
                  onChange({ ...draft, origin: { ...origin, name: next } }, "origin")
                }
              />
              <ChoiceField
                label={t("field.lateralFrom")}
                value={origin.lateralFrom === "point" ? "point" : "axis"}
                choices={(["axis", "point"] as const).map((value) => ({
                  value,
                  label: t(`word.${value}`),
                }))}
                onChange={(lateralFrom) =>
                  onChange({ ...draft, origin: { ...origin, lateralFrom } })
                }
              />
            </>
          ) : null}
          <ChoiceField
            label={t("field.axis")}
            value={axis}
            choices={axes.map((value) => ({ value, label: t(`word.${value}`) }))}
            onChange={(next) => onChange({ ...draft, axis: next })}
            hint={t("sheet.axisHint")}
          />
          <ChoiceField
            label={t("field.heightReference")}
            value={heightReference}
            choices={floors.map((value) => ({ value, label: t(`word.${value}`) }))}
            onChange={(next) => onChange({ ...draft, heightReference: next })}
            hint={t("sheet.heightHint")}
          />
          <ChoiceField
            label={t("field.secondPosition")}
            value={draft.secondPosition === true ? "yes" : "no"}
            choices={[
              { value: "yes", label: t("form.yes") },
              { value: "no", label: t("form.no") },
            ]}
            hint={t("sheet.secondHint")}
            onChange={(next) =>
              onChange({ ...draft, secondPosition: next === "yes" ? true : undefined })
            }
          />
          <TextField
            label={t("field.title")}
            value={draft.title}
            onChange={(title) => onChange({ ...draft, title }, "title")}
          />
          <TextField
            label={t("field.vehicle")}
            value={typeof draft.vehicle === "string" ? draft.vehicle : ""}
            onChange={(vehicle) =>
              onChange({ ...draft, vehicle: vehicle === "" ? undefined : vehicle }, "vehicle")
            }
          />
          <ChoiceField
            label={t("field.invented")}
            value={draft.invented ? "yes" : "no"}
            choices={[
              { value: "yes", label: t("form.yes") },
              { value: "no", label: t("form.no") },
            ]}
            onChange={(next) => onChange({ ...draft, invented: next === "yes" })}
          />
        </div>
      </details>
    </>
  );
}
