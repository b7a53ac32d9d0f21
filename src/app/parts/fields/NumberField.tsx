import { useEffect, useRef, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { looksInches, readTolerance, readTyped } from "../../i18n/typed.ts";
import {
  formatStated,
  looksGrouped,
  parseNumber,
  type Quantity,
  toDisplay,
} from "../../i18n/units.ts";
import { FieldShell } from "./Fields.tsx";
import { useUnread } from "./unread-entries.ts";

interface NumberFieldProps {
  readonly label: string;
  /** mm or degrees; null where nothing is entered. */
  readonly value: number | null;
  readonly onChange: (value: number | null) => void;
  readonly quantity?: Quantity;
  /** A tolerance: "±10" means 10, and nothing is below zero. */
  readonly tolerance?: boolean;
  /** The number may be negative: a key for the sign stands beside it. */
  readonly signed?: boolean;
  readonly hint?: string;
  /** A sentence about an entry that was read but looks wrong. */
  readonly problem?: string | null;
  readonly testId?: string;
  /** Where in the job the number belongs, for entries that cannot be read; default the label. */
  readonly at?: string;
  /** The field is there to be filled in next: it takes the focus when this is set or raised. */
  readonly focusNow?: boolean | number;
  /** The key "next" or "done" of the keyboard. */
  readonly onEnter?: () => void;
  /** Reads more than a number, for instance "2400 ± 5"; true where it has taken the entry. */
  readonly onText?: (text: string) => boolean;
}

/**
 * A number typed with comma or point, fraction, or a unit of its own. The text stays as typed while
 * the field has focus; only a readable number (or an empty field) reaches the record. What cannot be
 * read is kept as typed, also when the screen is left, and holds the verdict back until it is mended.
 */
export function NumberField(props: NumberFieldProps) {
  const { label, value, onChange, quantity = "plain", hint, problem, testId } = props;
  const { tolerance = false, signed = false, at = label, focusNow, onEnter, onText } = props;
  const { t, units, locale } = useApp();
  const [unread, setUnread] = useUnread(at, label);
  const shown = unread ?? asText(value, quantity, units, locale);
  const [text, setText] = useState(shown);
  const focused = useRef(false);
  const before = useRef(value);
  const input = useRef<HTMLInputElement>(null);
  const [doubt, setDoubt] = useState<string | null>(null);
  useEffect(() => {
    if (!focused.current) {
      setText(shown);
    }
  }, [shown]);
  useEffect(() => {
    if (focusNow) {
      input.current?.focus();
      input.current?.select();
    }
  }, [focusNow]);
  const read = (entry: string) => (tolerance ? readTolerance : readTyped)(entry, quantity, units);
  const unreadable = text.trim() !== "" && read(text) === null;
  const symbol = toDisplay(0, quantity, units).symbol;
  const doubtAbout = (entry: string, typed: number): string | null => {
    const asRead = formatStated(typed, quantity, units, locale);
    if (parseNumber(entry) !== null && looksGrouped(entry, locale)) {
      return t("field.readAs", { value: asRead });
    }
    return looksInches(entry, quantity, units) ? t("field.readAsMm", { value: asRead }) : null;
  };
  const change = (entry: string) => {
    if (onText?.(entry)) {
      setUnread(null);
      setText(entry);
      return;
    }
    const typed = read(entry);
    setText(entry);
    setDoubt(typed === null ? null : doubtAbout(entry, typed));
    const empty = entry.trim() === "";
    setUnread(typed === null && !empty ? entry : null);
    onChange(typed ?? (empty ? null : before.current));
  };
  return (
    <FieldShell
      label={label}
      hint={hint}
      problem={unreadable ? t("field.notANumber", { text }) : (problem ?? doubt)}
    >
      {({ id, describedBy }) => (
        <span className="field-number">
          {signed ? (
            <button
              type="button"
              className="field-sign"
              aria-label={t("field.sign", { label })}
              data-again
              onClick={() => change(otherSign(text))}
            >
              ±
            </button>
          ) : null}
          <input
            ref={input}
            id={id}
            inputMode={quantity === "length" && units.length !== "mm" ? "text" : "decimal"}
            enterKeyHint={onEnter ? "next" : "done"}
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
            onKeyDown={(event) => {
              if (event.key === "Enter" && onEnter) {
                event.preventDefault();
                onEnter();
              }
            }}
            onChange={(event) => change(event.target.value)}
          />
          {symbol ? <span className="field-unit">{symbol}</span> : null}
        </span>
      )}
    </FieldShell>
  );
}

const otherSign = (text: string): string =>
  /^\s*[-−]/.test(text) ? text.replace(/^\s*[-−]\s*/, "") : `-${text.trim()}`;

/** Up to four decimals, none that are not needed, with the language's own decimal mark. */
function asText(
  value: number | null,
  quantity: Quantity,
  units: Parameters<typeof toDisplay>[2],
  locale: string,
): string {
  return value === null
    ? ""
    : new Intl.NumberFormat(locale, { maximumFractionDigits: 4, useGrouping: false }).format(
        toDisplay(value, quantity, units).value,
      );
}
