import { type ReactNode, useId } from "react";
import { TermOf, Words } from "../Words.tsx";

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
      <span className="field-label">
        <label htmlFor={id}>{label}</label>
        <TermOf text={label} />
      </span>
      {children({ id, describedBy: describedBy || undefined })}
      {hint ? (
        <p className="field-hint" id={`${id}-hint`}>
          <Words text={hint} />
        </p>
      ) : null}
      {problem ? (
        <p className="field-problem" id={`${id}-problem`} role="alert">
          <Words text={problem} />
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
  readonly type?: "text" | "search" | "password" | "url";
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
      <legend>
        <Words text={label} />
      </legend>
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
      {hint ? (
        <p className="field-hint">
          <Words text={hint} />
        </p>
      ) : null}
    </fieldset>
  );
}
