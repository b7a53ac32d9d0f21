import { useState } from "react";
import {
  addCheck,
  addStep,
  changeCheck,
  checkKinds,
  mayRepeat,
  removeCheck,
  removeStep,
  type SheetDraft,
  type StepDraft,
  withStepDraft,
} from "../../../placement/sheet/draft.ts";
import type { CheckKind } from "../../../placement/sheet/sheet.ts";
import { useApp } from "../../context/app-context.ts";
import { CheckPicture } from "../../drawing/CheckPicture.tsx";
import { Button } from "../../parts/Button.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { Words } from "../../parts/Words.tsx";
import { CheckRow } from "./CheckRow.tsx";
import { SheetDrawing } from "./SheetDrawing.tsx";
import { SheetLines } from "./SheetLines.tsx";
import { drawnKinds, sceneOf } from "./scene.ts";
import { TargetChoice } from "./TargetChoice.tsx";
import { TiltRow } from "./TiltRow.tsx";

interface SheetEditorProps {
  readonly draft: SheetDraft;
  /** `what` names the field, so that one number typed key by key is taken back at once. */
  readonly onChange: (draft: SheetDraft, what?: string) => void;
}

/** The sheet as a drawing with a short table beside it. */
export function SheetEditor({ draft, onChange }: SheetEditorProps) {
  const { t } = useApp();
  const [at, setAt] = useState(0);
  const shownAt = Math.min(at, draft.steps.length - 1);
  const step = draft.steps[shownAt];
  const place = `sheet.${step.id}`;
  const setStep = (next: StepDraft, what?: string) =>
    onChange(withStepDraft(draft, shownAt, next), what);
  return (
    <div className="sheet-editor">
      {draft.steps.length > 1 ? (
        <fieldset className="choice">
          <legend>
            <Words text={t("sheet.steps")} />
          </legend>
          <div className="chip-row">
            {draft.steps.map((item, index) => (
              <button
                key={item.id}
                type="button"
                className="chip"
                aria-pressed={index === shownAt}
                onClick={() => setAt(index)}
              >
                {index + 1}. {item.title}
              </button>
            ))}
          </div>
        </fieldset>
      ) : null}
      <TargetChoice step={step} onChange={setStep} place={place} />
      <StepEditor key={step.id} draft={draft} step={step} place={place} onChange={setStep} />
      {step.target.kind === "radar reflector plate" || step.tiltSteps ? (
        <TiltRow step={step} place={place} onChange={setStep} />
      ) : null}
      <SheetLines draft={draft} onChange={onChange} />
      <details className="fold">
        <summary>
          <span>{t("sheet.stepsFold")}</span>
        </summary>
        <div className="fold-body form">
          <p className="small quiet">{t("sheet.stepsExplain")}</p>
          <TextField
            label={t("sheet.stepTitle")}
            value={step.title}
            onChange={(title) => setStep({ ...step, title }, `${place}.title`)}
          />
          <TextField
            label={t("field.note")}
            long
            value={typeof step.note === "string" ? step.note : ""}
            onChange={(note) =>
              setStep({ ...step, note: note === "" ? undefined : note }, `${place}.note`)
            }
          />
          <div className="button-row">
            <Button
              icon="plus"
              onClick={() => {
                onChange(addStep(draft, t("sheet.stepName", { number: draft.steps.length + 1 })));
                setAt(draft.steps.length);
              }}
            >
              {t("sheet.addStep")}
            </Button>
            {draft.steps.length > 1 ? (
              <Button icon="bin" onClick={() => onChange(removeStep(draft, shownAt))}>
                {t("sheet.removeStep")}
              </Button>
            ) : null}
          </div>
        </div>
      </details>
    </div>
  );
}

interface StepEditorProps {
  readonly draft: SheetDraft;
  readonly step: StepDraft;
  readonly place: string;
  readonly onChange: (step: StepDraft, what?: string) => void;
}

/** Drawing and table of one step. */
function StepEditor({ draft, step, place, onChange }: StepEditorProps) {
  const { t } = useApp();
  const [open, setOpen] = useState<number | null>(null);
  const pick = (kind: CheckKind) => {
    const there = step.checks.findIndex((check) => check.kind === kind);
    if (there >= 0) {
      setOpen(there);
      return;
    }
    onChange(addCheck(step, kind));
    setOpen(step.checks.length);
  };
  return (
    <div className="sheet-step">
      <div>
        <SheetDrawing draft={draft} step={step} open={open} onPick={pick} />
        <p className="small quiet">{t("sheet.tapDrawing")}</p>
      </div>
      <div>
        <ul className="check-rows" data-testid="sheet-rows">
          {step.checks.map((check, at) => (
            <CheckRow
              key={check.id}
              step={step}
              at={at}
              place={`${place}.${check.id}`}
              source={draft.source}
              open={open === at}
              onOpen={(next) => setOpen(next ? at : null)}
              onChange={(change) =>
                onChange(changeCheck(step, at, change), `${check.id}.${Object.keys(change)}`)
              }
              onRemove={() => {
                onChange(removeCheck(step, at));
                setOpen(null);
              }}
            />
          ))}
        </ul>
        {step.checks.length === 0 ? <p className="quiet">{t("sheet.noCheckYet")}</p> : null}
        <MoreKinds
          draft={draft}
          step={step}
          onPick={(kind) => {
            onChange(addCheck(step, kind));
            setOpen(step.checks.length);
          }}
        />
      </div>
    </div>
  );
}

/** Kinds without a spot in the drawing, and those that a procedure may ask for several times. */
function MoreKinds(props: {
  readonly draft: SheetDraft;
  readonly step: StepDraft;
  readonly onPick: (kind: CheckKind) => void;
}) {
  const { draft, step, onPick } = props;
  const { t } = useApp();
  const drawn = new Set(drawnKinds(sceneOf(draft, step)));
  const kinds = checkKinds.filter((kind) => {
    const used = step.checks.some((check) => check.kind === kind);
    return used ? mayRepeat(kind) : !drawn.has(kind);
  });
  return (
    <details className="fold">
      <summary>
        <span>{t("sheet.moreKinds")}</span>
      </summary>
      <div className="fold-body">
        <ul className="kind-grid">
          {kinds.map((kind) => (
            <li key={kind}>
              <button type="button" className="kind" onClick={() => onPick(kind)}>
                <CheckPicture kind={kind} />
                <span>{t(`word.${kind}`)}</span>
              </button>
            </li>
          ))}
        </ul>
      </div>
    </details>
  );
}
