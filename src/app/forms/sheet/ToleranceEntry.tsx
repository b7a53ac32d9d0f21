import { useState } from "react";
import {
  type CheckDraft,
  limitOnly,
  type StepDraft,
  type ToleranceWay,
  toleranceWay,
} from "../../../placement/sheet/draft.ts";
import { limitsOf } from "../../../placement/sheet/sheet.ts";
import { useApp } from "../../context/app-context.ts";
import { mmPerInch, type Units } from "../../i18n/units.ts";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Words } from "../../parts/Words.tsx";
import { letterOf, quantityOfCheck } from "./sheet-words.ts";

interface ToleranceEntryProps {
  readonly step: StepDraft;
  readonly check: CheckDraft;
  readonly place: string;
  /** Raised to move the focus into the first field. */
  readonly focusRound: number;
  readonly onChange: (change: Partial<CheckDraft>) => void;
  readonly onDone: () => void;
}

const ways: readonly ToleranceWay[] = ["plus-minus", "two sides", "at most", "at least"];

/** How far off it may be, in the form in which the maker's page says it. */
export function ToleranceEntry(props: ToleranceEntryProps) {
  const { step, check, onChange } = props;
  const { t, showStated } = useApp();
  const only = limitOnly[check.kind];
  const [way, setWay] = useState<ToleranceWay>(toleranceWay(check) ?? only ?? "plus-minus");
  const same = toleranceWay(check) === null && !only ? likeAnother(step, check) : null;
  const choose = (next: ToleranceWay) => {
    setWay(next);
    onChange(asWay(check, next));
  };
  return (
    <>
      <Fields {...props} way={way} />
      {same ? (
        <div className="chip-row">
          <button
            type="button"
            className="chip"
            data-testid="same-tolerance"
            onClick={() =>
              onChange({ lowerDeviation: -same.tolerance, upperDeviation: same.tolerance })
            }
          >
            {t("sheet.sameTolerance", {
              amount: showStated(same.tolerance, quantityOfCheck(check)),
              letter: letterOf(same.at),
            })}
          </button>
        </div>
      ) : null}
      {only ? null : (
        <fieldset className="choice">
          <legend>
            <Words text={t("sheet.toleranceWay")} />
          </legend>
          <div className="chip-row">
            {ways.map((item) => (
              <button
                key={item}
                type="button"
                className="chip"
                aria-pressed={way === item}
                onClick={() => choose(item)}
              >
                {t(`sheet.way.${item}`)}
              </button>
            ))}
          </div>
        </fieldset>
      )}
    </>
  );
}

/** A plus-minus tolerance of another number with the same unit, offered and never taken unasked. */
function likeAnother(step: StepDraft, check: CheckDraft): { tolerance: number; at: number } | null {
  const at = step.checks.findLastIndex(
    (other) =>
      other.id !== check.id &&
      quantityOfCheck(other) === quantityOfCheck(check) &&
      toleranceWay(other) === "plus-minus",
  );
  const tolerance = step.checks[at]?.upperDeviation ?? null;
  return tolerance === null ? null : { tolerance, at };
}

/** The present numbers as far as they fit another way of writing them. */
function asWay(check: CheckDraft, way: ToleranceWay): Partial<CheckDraft> {
  const { lowerDeviation: lower, upperDeviation: upper } = check;
  const more = upper ?? (lower === null ? null : Math.abs(lower));
  switch (way) {
    case "plus-minus":
      return { lowerDeviation: more === null ? null : -more, upperDeviation: more };
    case "two sides":
      return { lowerDeviation: lower ?? (more === null ? null : -more), upperDeviation: more };
    case "at most":
      return { lowerDeviation: null, upperDeviation: more };
    case "at least":
      return { lowerDeviation: lower ?? (more === null ? null : -more), upperDeviation: null };
  }
}

/** A tolerance as pages have it: 5 mm, or a quarter of an inch. */
const exampleMm = (units: Units): number => (units.length === "mm" ? 5 : mmPerInch / 4);

function Fields(props: ToleranceEntryProps & { readonly way: ToleranceWay }) {
  const { check, place, way, focusRound, onChange, onDone } = props;
  const { t, units, showStated } = useApp();
  const quantity = quantityOfCheck(check);
  const { lowerDeviation: lower, upperDeviation: upper } = check;
  const focusNow = focusRound > 0 ? focusRound : undefined;
  const shared = { quantity, onEnter: onDone } as const;
  switch (way) {
    case "plus-minus":
      return (
        <NumberField
          {...shared}
          label={t("sheet.plusMinus")}
          hint={
            quantity === "length"
              ? t("sheet.plusMinusMm", { amount: showStated(exampleMm(units), "length") })
              : t("sheet.plusMinusDeg", { amount: showStated(0.5, "angle") })
          }
          value={upper}
          tolerance
          focusNow={focusNow}
          at={`${place}.tolerance`}
          testId="sheet-tolerance"
          onChange={(size) =>
            onChange({ lowerDeviation: size === null ? null : -size, upperDeviation: size })
          }
        />
      );
    case "two sides":
      return (
        <div className="form-pair">
          <NumberField
            {...shared}
            label={t("sheet.lessBy")}
            value={lower === null ? null : -lower}
            tolerance
            focusNow={focusNow}
            at={`${place}.lower`}
            onChange={(size) => onChange({ lowerDeviation: size === null ? null : -size })}
          />
          <NumberField
            {...shared}
            label={t("sheet.moreBy")}
            value={upper}
            tolerance
            at={`${place}.upper`}
            onChange={(size) => onChange({ upperDeviation: size })}
          />
        </div>
      );
    case "at most":
    case "at least":
      return <LimitField {...props} />;
  }
}

/** One limit, as a value and not as a deviation. */
function LimitField(props: ToleranceEntryProps & { readonly way: ToleranceWay }) {
  const { check, place, way, focusRound, onChange, onDone } = props;
  const { t } = useApp();
  const only = limitOnly[check.kind] !== undefined;
  const { lower, upper } = limitsOf({ ...check, required: check.required ?? 0 });
  const most = way === "at most";
  const set = (limit: number | null) => {
    const required = only && !most ? (limit ?? 0) : (check.required ?? 0);
    const deviation = limit === null ? null : limit - required;
    onChange({
      ...(only ? { required } : {}),
      lowerDeviation: most ? null : deviation,
      upperDeviation: most ? deviation : null,
    });
  };
  return (
    <NumberField
      label={t(most ? "sheet.way.at most" : "sheet.way.at least")}
      hint={t("sheet.limitHint")}
      quantity={quantityOfCheck(check)}
      value={most ? upper : lower}
      focusNow={only ? true : focusRound > 0 ? focusRound : undefined}
      at={`${place}.limit`}
      onChange={set}
      onEnter={onDone}
      testId="sheet-limit"
    />
  );
}
