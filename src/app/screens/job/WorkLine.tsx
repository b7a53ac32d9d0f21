import { useApp, useJobState, useSession } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { activePhotos, type JobState, openPhotos, usesSheetPhotos } from "../../state/job-state.ts";

/** How far the work is: photos in all and still to be examined, and what runs. */
function progressOf(state: JobState) {
  const purposes = usesSheetPhotos(state)
    ? (["sheet", "boards", "target"] as const)
    : (["boards", "target"] as const);
  const count = (of: typeof openPhotos | typeof activePhotos) =>
    purposes.reduce((sum, purpose) => sum + of(state, purpose).length, 0);
  const { paused, loading, computing, working } = state;
  const busy = working.size > 0 || computing !== null;
  return { open: count(openPhotos), total: count(activePhotos), paused, loading, computing, busy };
}

/** What the engine is doing, with the way to stop it. */
export function WorkLine() {
  const { t } = useApp();
  const session = useSession();
  const { open, total, paused, loading, computing, busy } = useJobState(progressOf);
  if (paused && open > 0) {
    return (
      <div className="work" data-testid="work">
        <p>{t("work.paused", { open })}</p>
        <Button kind="now" onClick={() => session.resume()}>
          {t("work.resume")}
        </Button>
      </div>
    );
  }
  if (!busy) {
    return null;
  }
  const label =
    loading !== null && loading >= 0.99
      ? t("work.starting")
      : loading !== null
        ? t("work.loading", { percent: Math.round(loading * 100) })
        : computing === "camera"
          ? t("work.camera")
          : computing === "adjustment"
            ? t("work.adjustment")
            : t("work.photos", { done: total - open, count: total });
  const share = loading ?? (computing ? null : total > 0 ? (total - open) / total : null);
  return (
    <div className="work" data-testid="work">
      <Progress label={label} share={share} />
      <Button icon="cross" onClick={() => session.pause()}>
        {t("work.stop")}
      </Button>
    </div>
  );
}
