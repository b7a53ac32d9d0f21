import { useStore } from "zustand";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { failures, forgetFailures } from "../../state/failures.ts";

/** What failed where no screen waited for it: which thing was not saved, and the browser's reason. */
export function FailureLines() {
  const { t } = useApp();
  const lines = useStore(failures);
  if (lines.length === 0) {
    return null;
  }
  return (
    <>
      {lines.map(({ key, thing, called, reason }) => (
        <Notice
          key={key}
          kind="error"
          title={t(`failure.${thing ?? "other"}`, { called })}
          testId="failure"
        >
          {reason ? <p>{t("failure.reason", { reason })}</p> : null}
        </Notice>
      ))}
      <div className="button-row">
        <Button onClick={forgetFailures}>{t("action.understood")}</Button>
      </div>
    </>
  );
}
