import { useState } from "react";
import { type Fault, StoreFault } from "../../../replicate/faults/faults.ts";
import type { Repaired } from "../../../replicate/sync/repair.ts";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { repairNow } from "../../replica/replication.ts";
import { inBackground } from "../../state/failures.ts";
import { faultWords } from "./ReplicationPanel.tsx";

/** Looks whether the store still has what it should, and writes again what it lost or damaged. */
export function RepairPanel() {
  const { t } = useApp();
  const [progress, setProgress] = useState<{ done: number; of: number } | null>(null);
  const [repaired, setRepaired] = useState<Repaired | null>(null);
  const [fault, setFault] = useState<Fault | null>(null);
  const [times, setTimes] = useState(0);
  const run = async (readBack: boolean) => {
    setRepaired(null);
    setFault(null);
    setProgress({ done: 0, of: 1 });
    try {
      setRepaired(await repairNow(readBack, (done, of) => setProgress({ done, of })));
    } catch (error) {
      if (!(error instanceof StoreFault)) throw error;
      setFault(error);
    } finally {
      setProgress(null);
      setTimes((before) => before + 1);
    }
  };
  return (
    <Panel title={t("store.repair")} testId="repair">
      <p>{t("store.repairText")}</p>
      <div className="button-row">
        <Button disabled={progress !== null} onClick={() => inBackground(run(false))}>
          {t("store.repairNow")}
        </Button>
        <Button disabled={progress !== null} onClick={() => inBackground(run(true))}>
          {t("store.repairAll")}
        </Button>
      </div>
      {progress ? (
        <Progress
          label={t("store.repairing", progress)}
          share={progress.of > 0 ? progress.done / progress.of : null}
        />
      ) : null}
      <div role="status" data-testid="repaired" data-times={times}>
        {repaired ? <p>{words(repaired, t)}</p> : null}
      </div>
      {fault ? <Notice kind="error" title={faultWords(t, fault)} testId="repair-fault" /> : null}
    </Panel>
  );
}

const words = (
  { looked, mended, elsewhere }: Repaired,
  t: ReturnType<typeof useApp>["t"],
): string => {
  const found =
    mended === 0 ? t("store.repairSound", { looked }) : t("store.repaired", { looked, mended });
  return elsewhere === 0 ? found : `${found} ${t("store.repairElsewhere", { count: elsewhere })}`;
};
