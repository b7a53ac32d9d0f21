import { useEffect, useState } from "react";
import type { StepDraft, TargetDraft } from "../../../placement/sheet/draft.ts";
import { targetKinds as kinds } from "../../../placement/sheet/target-kinds.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import {
  type KeptTarget,
  listTargets,
  targetsOf,
  withTarget,
} from "../../library/target-library.ts";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { inBackground } from "../../state/failures.ts";

type TargetKind = (typeof kinds)[number];

/** Where a kind of target looks in most procedures: mats up, reflectors behind the car to it. */
export const usualFacing = (kind: TargetKind): TargetDraft["facing"] =>
  kind === "floor mat" ? "up" : kind === "corner reflector" ? "forward" : "rearward";

interface TargetChoiceProps {
  readonly step: StepDraft;
  readonly place: string;
  readonly onChange: (step: StepDraft, what?: string) => void;
}

/** Which target this step places: one of the shop's, or a kind of its own. */
export function TargetChoice({ step, place, onChange }: TargetChoiceProps) {
  const { t } = useApp();
  const { session, state } = useJob();
  const [kept, setKept] = useState<readonly KeptTarget[]>([]);
  useEffect(() => inBackground(listTargets().then(setKept)), []);
  const { target } = step;
  const set = (change: Partial<TargetDraft>, what?: string) =>
    onChange({ ...step, target: { ...target, ...change } as TargetDraft }, what);
  const given = new Set<string>([
    ...kept.map(({ target: item }) => item.name),
    ...targetsOf(state.record).map(({ name }) => name),
    ...kinds.map((kind) => t(`word.${kind}`)),
  ]);
  const chooseKept = ({ target: item }: KeptTarget) => {
    session.update((record) => withTarget(record, item));
    set({
      name: item.name,
      kind: item.kind,
      facing: usualFacing(item.kind),
      widthMm: item.widthMm,
      heightMm: item.heightMm,
    });
  };
  const chooseKind = (kind: TargetKind) =>
    set({ kind, facing: usualFacing(kind), name: ownName(target, given) ?? t(`word.${kind}`) });
  const facings = ["rearward", "forward", "left", "right", "up"] as const;
  return (
    <>
      <fieldset className="choice">
        <legend>{t("sheet.whichTarget")}</legend>
        <div className="chip-row">
          {kept.map((item) => (
            <button
              key={item.id}
              type="button"
              className="chip"
              aria-pressed={item.target.name === target.name}
              onClick={() => chooseKept(item)}
            >
              {item.target.name}
            </button>
          ))}
          {kinds.map((kind) => (
            <button
              key={kind}
              type="button"
              className="chip"
              aria-pressed={
                kind === target.kind && !kept.some((k) => k.target.name === target.name)
              }
              onClick={() => chooseKind(kind)}
            >
              {t(`word.${kind}`)}
            </button>
          ))}
        </div>
      </fieldset>
      <details className="fold">
        <summary>
          <span>
            {t("sheet.targetIs", { name: target.name, facing: t(`word.${target.facing}`) })}
          </span>
          <span className="quiet small">{t("sheet.linesChange")}</span>
        </summary>
        <div className="fold-body form">
          <TextField
            label={t("field.name")}
            hint={t("sheet.targetNameHint")}
            value={target.name}
            onChange={(name) => set({ name }, `${place}.name`)}
          />
          <SelectField
            label={t("field.facing")}
            value={target.facing}
            choices={facings.map((value) => ({ value, label: t(`word.${value}`) }))}
            onChange={(facing) => set({ facing })}
          />
          <div className="form-pair">
            <NumberField
              label={t("field.widthMm")}
              quantity="length"
              value={typeof target.widthMm === "number" ? target.widthMm : null}
              at={`${place}.width`}
              onChange={(size) => set({ widthMm: size ?? undefined }, `${place}.width`)}
            />
            <NumberField
              label={t("field.heightMm")}
              quantity="length"
              value={typeof target.heightMm === "number" ? target.heightMm : null}
              at={`${place}.height`}
              onChange={(size) => set({ heightMm: size ?? undefined }, `${place}.height`)}
            />
          </div>
        </div>
      </details>
    </>
  );
}

/** A name that somebody gave, not one that came with a kind or belongs to another target. */
const ownName = ({ name }: TargetDraft, given: ReadonlySet<string>): string | null =>
  name.trim() !== "" && !given.has(name) ? name : null;
