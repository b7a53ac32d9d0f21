import { useState } from "react";
import type { CheckDraft, StepDraft } from "../../../placement/sheet/draft.ts";
import { limitOnly } from "../../../placement/sheet/draft.ts";
import { useApp } from "../../context/app-context.ts";
import { CheckPicture } from "../../drawing/CheckPicture.tsx";
import { readValueAndTolerance } from "../../i18n/typed.ts";
import { Button } from "../../parts/Button.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Words } from "../../parts/Words.tsx";
import { CheckExtras } from "./CheckExtras.tsx";
import { SideChoice } from "./SideChoice.tsx";
import { checkWords, letterOf, quantityOfCheck, sheetSides } from "./sheet-words.ts";
import { ToleranceEntry } from "./ToleranceEntry.tsx";

interface CheckRowProps {
  readonly step: StepDraft;
  readonly at: number;
  /** Where the check is in the job, for entries that cannot be read. */
  readonly place: string;
  readonly source: string;
  readonly open: boolean;
  readonly onOpen: (open: boolean) => void;
  readonly onChange: (change: Partial<CheckDraft>) => void;
  readonly onRemove: () => void;
}

/** One row of the table beside the drawing; opened, the fields of its number. */
export function CheckRow(props: CheckRowProps) {
  const { step, at, open, onOpen } = props;
  const app = useApp();
  const check = step.checks[at];
  const incomplete =
    check.required === null || (check.lowerDeviation === null && check.upperDeviation === null);
  return (
    <li className={`check-row ${open ? "check-row-open" : ""}`} data-testid="sheet-row">
      <button
        type="button"
        className="check-row-head"
        aria-expanded={open}
        onClick={() => onOpen(!open)}
      >
        <span className="check-row-letter">{letterOf(at)}</span>
        <span className="check-row-name">{nameOf(check, app.t)}</span>
        <span className={`check-row-value ${incomplete ? "check-row-missing" : ""}`}>
          {checkWords(check, app)}
        </span>
      </button>
      {open ? <CheckEntry key={check.id} {...props} check={check} /> : null}
    </li>
  );
}

const nameOf = (check: CheckDraft, t: ReturnType<typeof useApp>["t"]): string => {
  const own = typeof check.label === "string" && check.label !== "" ? check.label : null;
  const corner = typeof check.corner === "string" ? ` (${cornerWord(check.corner, t)})` : "";
  return own ?? `${t(`word.${check.kind}`)}${corner}`;
};

const cornerWord = (corner: string, t: ReturnType<typeof useApp>["t"]): string => {
  switch (corner) {
    case "upper left":
    case "upper right":
    case "lower left":
    case "lower right":
      return t(`word.${corner}`);
    default:
      return corner;
  }
};

function CheckEntry(props: CheckRowProps & { readonly check: CheckDraft }) {
  const { check, step, place, source, onOpen, onChange, onRemove } = props;
  const { t, units } = useApp();
  const [toTolerance, setToTolerance] = useState(0);
  const quantity = quantityOfCheck(check);
  const sides = sheetSides(check.kind, t);
  const negative = (check.required ?? 0) < 0;
  const only = limitOnly[check.kind] !== undefined;
  const set = (size: number | null) =>
    onChange({ required: size === null ? null : negative && size > 0 ? -size : size });
  const takeBoth = (text: string): boolean => {
    const both = readValueAndTolerance(text, quantity, units);
    if (!both) {
      return false;
    }
    onChange({
      required: both.value,
      lowerDeviation: -both.tolerance,
      upperDeviation: both.tolerance,
    });
    return true;
  };
  return (
    <div className="check-entry">
      <div className="check-entry-what">
        <CheckPicture kind={check.kind} />
        <p className="small">
          <Words text={t(`kind.${check.kind}`)} />
        </p>
      </div>
      {only ? null : (
        <div className="check-entry-value">
          <NumberField
            label={t("sheet.value")}
            hint={t("sheet.valueHint")}
            value={
              check.required === null ? null : sides ? Math.abs(check.required) : check.required
            }
            quantity={quantity}
            at={`${place}.required`}
            focusNow={check.required === null}
            onChange={set}
            onText={takeBoth}
            onEnter={() => setToTolerance(toTolerance + 1)}
            problem={negative && check.kind === "distance" ? t("sheet.behindTheLine") : null}
            testId="sheet-value"
          />
          {sides ? (
            <SideChoice
              label={t("sheet.side")}
              value={check.required}
              positive={sides.positive}
              negative={sides.negative}
              zero={t(zeroWords[check.kind] ?? "sheet.zero")}
              onChange={(required) => onChange({ required })}
            />
          ) : null}
        </div>
      )}
      <ToleranceEntry
        step={step}
        check={check}
        place={place}
        focusRound={toTolerance}
        onChange={onChange}
        onDone={() => onOpen(false)}
      />
      <details className="fold">
        <summary>
          <span>{t("sheet.more")}</span>
        </summary>
        <div className="fold-body form">
          <TextField
            label={t("sheet.ownWords")}
            value={typeof check.label === "string" ? check.label : ""}
            onChange={(label) => onChange({ label: label === "" ? undefined : label })}
          />
          <TextField
            label={t("sheet.ownSource")}
            hint={source === "" ? undefined : t("sheet.ownSourceHint", { source })}
            value={check.reference}
            onChange={(reference) => onChange({ reference })}
          />
          <CheckExtras check={check} onChange={onChange} />
        </div>
      </details>
      <div className="button-row">
        <Button icon="check" onClick={() => onOpen(false)}>
          {t("sheet.rowDone")}
        </Button>
        <Button icon="bin" onClick={onRemove}>
          {t("sheet.removeCheck")}
        </Button>
      </div>
    </div>
  );
}

/** What zero means, by kind. */
const zeroWords = {
  distance: "sheet.zero",
  "lateral offset": "sheet.zeroOnLine",
  "mat corner across": "sheet.zeroOnLine",
  yaw: "sheet.zeroSquare",
  pitch: "sheet.zeroUpright",
  roll: "sheet.zeroLevel",
  parallel: "sheet.zeroParallel",
  "floor slope": "sheet.zeroLevel",
} as const satisfies Partial<Record<CheckDraft["kind"], string>> as Partial<
  Record<
    CheckDraft["kind"],
    | "sheet.zero"
    | "sheet.zeroOnLine"
    | "sheet.zeroSquare"
    | "sheet.zeroUpright"
    | "sheet.zeroLevel"
    | "sheet.zeroParallel"
  >
>;
