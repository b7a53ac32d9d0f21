import { useApp, useJobState, useSession } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { inBackground } from "../../state/failures.ts";

/** What stops a job as a whole: another tab, a full device, an engine that cannot run. */
export function TroubleLines() {
  const { t } = useApp();
  const session = useSession();
  const state = useJobState(({ trouble, writable, missed }) => ({
    trouble,
    writable,
    missed,
  }));
  return (
    <>
      {state.trouble === "changed elsewhere" ? (
        <Notice kind="error" title={t("trouble.changed")} testId="changed-elsewhere">
          <p>{t("trouble.changedExplain")}</p>
          <div className="button-row">
            <Button onClick={() => inBackground(session.claim(true))}>
              {t("trouble.takeTheirs")}
            </Button>
            <Button onClick={() => inBackground(session.keepMine())}>
              {t("trouble.keepMine")}
            </Button>
          </div>
        </Notice>
      ) : null}
      {state.writable || state.trouble === "changed elsewhere" ? null : (
        <Notice kind="warning" title={t("trouble.otherTab")} testId="other-tab">
          <p>{t("trouble.otherTabExplain")}</p>
          <Button onClick={() => inBackground(session.claim(true))}>{t("trouble.takeOver")}</Button>
        </Notice>
      )}
      {state.trouble === "storage full" ? (
        <Notice kind="error" title={t("trouble.full")}>
          <p>{t("trouble.fullExplain")}</p>
          <Button onClick={() => session.resume()}>{t("action.tryAgain")}</Button>
        </Notice>
      ) : null}
      {state.trouble === "not saved" ? (
        <Notice kind="error" title={t("trouble.notSaved")} testId="not-saved">
          <p>{t("trouble.notSavedExplain")}</p>
          <Button onClick={() => session.resume()}>{t("action.tryAgain")}</Button>
        </Notice>
      ) : null}
      {state.missed && state.writable ? (
        <Notice
          kind="warning"
          title={
            state.missed.names.length > 0
              ? t("trouble.missedPhotos", { names: state.missed.names.join(", ") })
              : t("trouble.missedCamera")
          }
          testId="missed"
        >
          <p>
            {t(
              state.missed.names.length > 0
                ? "trouble.missedExplain"
                : "trouble.missedCameraExplain",
            )}
          </p>
          <Button onClick={() => session.dismissMissed()}>{t("action.understood")}</Button>
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
