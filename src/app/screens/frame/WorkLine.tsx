import { useApp, useJob } from "../../app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { activePhotos, openPhotos, usesSheetPhotos } from "../../session/job-state.ts";

/** What the engine is doing, with the way to stop it. */
export function WorkLine() {
  const { t } = useApp();
  const { session, state } = useJob();
  const sheet = usesSheetPhotos(state) ? activePhotos(state, "sheet") : [];
  const boards = [...activePhotos(state, "boards"), ...activePhotos(state, "target")];
  const openSheet = usesSheetPhotos(state) ? openPhotos(state, "sheet").length : 0;
  const open = openSheet + openPhotos(state, "boards").length + openPhotos(state, "target").length;
  const total = sheet.length + boards.length;
  if (state.paused && open > 0) {
    return (
      <div className="work" data-testid="work">
        <p>{t("work.paused", { open })}</p>
        <Button kind="now" onClick={() => session.resume()}>
          {t("work.resume")}
        </Button>
      </div>
    );
  }
  const busy = state.working.size > 0 || state.computing !== null;
  if (!busy) {
    return null;
  }
  const label =
    state.loading !== null && state.loading >= 0.99
      ? t("work.starting")
      : state.loading !== null
        ? t("work.loading", { percent: Math.round(state.loading * 100) })
        : state.computing === "camera"
          ? t("work.camera")
          : state.computing === "adjustment"
            ? t("work.adjustment")
            : t("work.photos", { done: total - open, count: total });
  const share =
    state.loading ?? (state.computing ? null : total > 0 ? (total - open) / total : null);
  return (
    <div className="work" data-testid="work">
      <Progress label={label} share={share} />
      <Button icon="cross" onClick={() => session.pause()}>
        {t("work.stop")}
      </Button>
    </div>
  );
}
