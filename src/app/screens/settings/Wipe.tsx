import { useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { inBackground } from "../../state/failures.ts";
import { deleteEverything, unsavedRevisions } from "../../store/backups.ts";

/** Deletes everything on this device for good, after saying what would be lost with it. */
export function Wipe() {
  const { t } = useApp();
  /** Closed records that are on this device only; null while nobody has asked. */
  const [unsaved, setUnsaved] = useState<number | null>(null);
  const ask = async () => setUnsaved((await unsavedRevisions()).length);
  const wipe = async () => {
    await deleteEverything();
    window.location.hash = "#/";
    window.location.reload();
  };
  return (
    <>
      <Button kind="bare" onClick={() => inBackground(ask())} data-testid="wipe">
        {t("keep.wipe")}
      </Button>
      {unsaved !== null ? (
        <Confirm
          title={t("keep.wipeAsk")}
          action={t("keep.wipeAction")}
          onConfirm={() => inBackground(wipe())}
          onClose={() => setUnsaved(null)}
        >
          <p>{t("keep.wipeExplain")}</p>
          {unsaved > 0 ? (
            <p data-testid="wipe-unsaved">{t("keep.wipeUnsaved", { count: unsaved })}</p>
          ) : null}
        </Confirm>
      ) : null}
    </>
  );
}
