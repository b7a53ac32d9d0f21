import { useApp, useJobState, useSession } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";

/** After photos were put aside: the way back, until the job is opened again. */
export function UndoLine() {
  const { t } = useApp();
  const session = useSession();
  const count = useJobState((state) => state.undo.length);
  if (count === 0) {
    return null;
  }
  return (
    <div className="snack" role="status">
      <span>{t("photos.removed", { count })}</span>
      <span className="button-row">
        <Button onClick={() => session.undoRemove()} data-testid="undo">
          {t("action.undo")}
        </Button>
        <Button
          kind="bare"
          icon="cross"
          aria-label={t("action.understood")}
          onClick={() => session.dismissUndo()}
        />
      </span>
    </div>
  );
}
