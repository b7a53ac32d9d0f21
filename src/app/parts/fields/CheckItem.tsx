import { type ReactNode, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import type { CheckState } from "../../store/database/schema.ts";
import { Icon } from "../icons/Icon.tsx";
import { TermOf } from "../Words.tsx";

const emptyCheck: CheckState = { state: "open", note: "", photoId: null };

interface CheckItemProps {
  readonly label: string;
  readonly value: CheckState | undefined;
  readonly onChange: (value: CheckState) => void;
  readonly testId?: string;
  /** More ways beside the note, for instance a photo. */
  readonly children?: ReactNode;
}

/** One line of a check list: done, does not apply or still open, with a note. */
export function CheckItem(props: CheckItemProps) {
  const { label, value = emptyCheck, onChange, testId, children } = props;
  const { t } = useApp();
  const [noteOpen, setNoteOpen] = useState(value.note !== "");
  const done = value.state === "done";
  const without = value.state === "does not apply";
  return (
    <li className={`check-item ${without ? "check-item-without" : ""}`}>
      <label className="check-item-main">
        <input
          type="checkbox"
          checked={done}
          data-testid={testId}
          onChange={() => onChange({ ...value, state: done ? "open" : "done" })}
        />
        <span className="check-item-box">{done ? <Icon name="check" /> : null}</span>
        <span className="check-item-text">
          {label}
          {without ? <em> {t("checks.doesNotApply")}</em> : null}
        </span>
      </label>
      <div className="check-item-more">
        <button
          type="button"
          className="link"
          aria-expanded={noteOpen}
          onClick={() => setNoteOpen(!noteOpen)}
        >
          {t("checks.note")}
          <span className="only-heard">: {label}</span>
        </button>
        <button
          type="button"
          className="link"
          aria-pressed={without}
          onClick={() => onChange({ ...value, state: without ? "open" : "does not apply" })}
        >
          {without ? t("checks.applies") : t("checks.skip")}
          <span className="only-heard">: {label}</span>
        </button>
        {children}
        <TermOf text={label} />
      </div>
      {noteOpen ? (
        <input
          className="check-item-note"
          aria-label={`${t("checks.note")}: ${label}`}
          value={value.note}
          onChange={(event) => onChange({ ...value, note: event.target.value })}
        />
      ) : null}
    </li>
  );
}
