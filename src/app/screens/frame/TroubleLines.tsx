import { useApp, useJob } from "../../app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";

/** What stops a job as a whole: another tab, a full device, an engine that cannot run. */
export function TroubleLines() {
  const { t } = useApp();
  const { session, state } = useJob();
  return (
    <>
      {state.trouble === "changed elsewhere" ? (
        <Notice kind="error" title={t("trouble.changed")} testId="changed-elsewhere">
          <p>{t("trouble.changedExplain")}</p>
          <div className="button-row">
            <Button onClick={() => void session.claim(true)}>{t("trouble.takeTheirs")}</Button>
            <Button onClick={() => void session.keepMine()}>{t("trouble.keepMine")}</Button>
          </div>
        </Notice>
      ) : null}
      {state.writable || state.trouble === "changed elsewhere" ? null : (
        <Notice kind="warning" title={t("trouble.otherTab")} testId="other-tab">
          <p>{t("trouble.otherTabExplain")}</p>
          <Button onClick={() => void session.claim(true)}>{t("trouble.takeOver")}</Button>
        </Notice>
      )}
      {state.trouble === "storage full" ? (
        <Notice kind="error" title={t("trouble.full")}>
          <p>{t("trouble.fullExplain")}</p>
          <Button onClick={() => session.resume()}>{t("action.tryAgain")}</Button>
        </Notice>
      ) : null}
      {state.trouble === "engine failed" ? (
        <Notice kind="error" title={t("trouble.engine")}>
          <p>{t("trouble.engineExplain")}</p>
          <Button onClick={() => session.resume()}>{t("action.tryAgain")}</Button>
        </Notice>
      ) : null}
    </>
  );
}
