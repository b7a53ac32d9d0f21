import { type ReactNode, useEffect, useId, useRef, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import {
  fromDisplay,
  looksGrouped,
  parseNumber,
  type Quantity,
  toDisplay,
} from "../../i18n/units.ts";

interface FieldShellProps {
  readonly label: string;
  readonly hint?: string;
  readonly problem?: string | null;
  readonly children: (ids: { readonly id: string; readonly describedBy?: string }) => ReactNode;
}

/** Label above, hint and problem below, tied together for screen readers. */
export function FieldShell({ label, hint, problem, children }: FieldShellProps) {
  const id = useId();
  const describedBy = [hint ? `${id}-hint` : "", problem ? `${id}-problem` : ""]
    .filter(Boolean)
    .join(" ");
  return (
    <div className="field">
      <label htmlFor={id}>{label}</label>
      {children({ id, describedBy: describedBy || undefined })}
      {hint ? (
        <p className="field-hint" id={`${id}-hint`}>
          {hint}
        </p>
      ) : null}
      {problem ? (
        <p className="field-problem" id={`${id}-problem`} role="alert">
          {problem}
        </p>
      ) : null}
    </div>
  );
}

interface TextFieldProps {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly hint?: string;
  readonly long?: boolean;
  readonly autoComplete?: string;
  readonly type?: "text" | "search";
  readonly testId?: string;
}

export function TextField(props: TextFieldProps) {
  const { label, value, onChange, hint, long, autoComplete = "off", type = "text", testId } = props;
  return (
    <FieldShell label={label} hint={hint}>
      {({ id, describedBy }) =>
        long ? (
          <textarea
            id={id}
            rows={3}
            value={value}
            aria-describedby={describedBy}
            data-testid={testId}
            onChange={(event) => onChange(event.target.value)}
          />
        ) : (
          <input
            id={id}
            type={type}
            value={value}
            autoComplete={autoComplete}
            aria-describedby={describedBy}
            data-testid={testId}
            onChange={(event) => onChange(event.target.value)}
          />
        )
      }
    </FieldShell>
  );
}

interface NumberFieldProps {
  readonly label: string;
  /** mm or degrees; null where nothing is entered. */
  readonly value: number | null;
  readonly onChange: (value: number | null) => void;
  readonly quantity?: Quantity;
  readonly hint?: string;
  /** A sentence about an entry that was read but looks wrong. */
  readonly problem?: string | null;
  readonly testId?: string;
}

/**
 * A number typed with comma or point. The text stays as typed while the field has focus; only a
 * readable number (or an empty field) reaches the record. Once the text cannot be read, what was
 * entered before counts again, not the part of it that could be read.
 */
export function NumberField(props: NumberFieldProps) {
  const { label, value, onChange, quantity = "plain", hint, problem, testId } = props;
  const { t, units, locale } = useApp();
  const shown = value === null ? "" : asText(toDisplay(value, quantity, units).value, locale);
  const [text, setText] = useState(shown);
  const focused = useRef(false);
  const before = useRef(value);
  const [doubt, setDoubt] = useState<string | null>(null);
  useEffect(() => {
    if (!focused.current) {
      setText(shown);
    }
  }, [shown]);
  const unreadable = text.trim() !== "" && parseNumber(text) === null;
  const symbol = toDisplay(0, quantity, units).symbol;
  return (
    <FieldShell
      label={label}
      hint={hint}
      problem={unreadable ? t("field.notANumber", { text }) : (problem ?? doubt)}
    >
      {({ id, describedBy }) => (
        <span className="field-number">
          <input
            id={id}
            inputMode="decimal"
            autoComplete="off"
            value={text}
            aria-describedby={describedBy}
            aria-invalid={unreadable || Boolean(problem ?? doubt)}
            data-testid={testId}
            onFocus={() => {
              focused.current = true;
              before.current = value;
            }}
            onBlur={() => {
              focused.current = false;
              if (!unreadable) {
                setText(shown);
              }
            }}
            onChange={(event) => {
              const entry = event.target.value;
              const typed = parseNumber(entry);
              setText(entry);
              setDoubt(
                typed !== null && looksGrouped(entry, locale)
                  ? t("field.readAs", { value: `${asText(typed, locale)} ${symbol}`.trim() })
                  : null,
              );
              if (typed !== null) {
                onChange(fromDisplay(typed, quantity, units));
              } else {
                onChange(entry.trim() === "" ? null : before.current);
              }
            }}
          />
          {symbol ? <span className="field-unit">{symbol}</span> : null}
        </span>
      )}
    </FieldShell>
  );
}

/** Up to four decimals, none that are not needed, with the language's own decimal mark. */
function asText(value: number, locale: string): string {
  return new Intl.NumberFormat(locale, { maximumFractionDigits: 4, useGrouping: false }).format(
    value,
  );
}

export interface Choice<T extends string> {
  readonly value: T;
  readonly label: string;
}

interface ChoiceFieldProps<T extends string> {
  readonly label: string;
  readonly value: T;
  readonly choices: readonly Choice<T>[];
  readonly onChange: (value: T) => void;
  readonly hint?: string;
  readonly testId?: string;
}

/** A drop-down list. */
export function SelectField<T extends string>(props: ChoiceFieldProps<T>) {
  const { label, value, choices, onChange, hint, testId } = props;
  return (
    <FieldShell label={label} hint={hint}>
      {({ id, describedBy }) => (
        <select
          id={id}
          value={value}
          aria-describedby={describedBy}
          data-testid={testId}
          onChange={(event) => onChange(event.target.value as T)}
        >
          {choices.map((choice) => (
            <option key={choice.value} value={choice.value}>
              {choice.label}
            </option>
          ))}
        </select>
      )}
    </FieldShell>
  );
}

/** A few choices side by side, all in sight. */
export function ChoiceField<T extends string>(props: ChoiceFieldProps<T>) {
  const { label, value, choices, onChange, hint } = props;
  const name = useId();
  return (
    <fieldset className="choice">
      <legend>{label}</legend>
      <div className="choice-row">
        {choices.map((choice) => (
          <label key={choice.value} className="choice-item">
            <input
              type="radio"
              name={name}
              value={choice.value}
              checked={choice.value === value}
              onChange={() => onChange(choice.value)}
            />
            <span>{choice.label}</span>
          </label>
        ))}
      </div>
      {hint ? <p className="field-hint">{hint}</p> : null}
    </fieldset>
  );
}
