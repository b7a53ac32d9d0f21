import { useState } from "react";
import { useApp, useJob } from "../../context/app-context.ts";
import { openPointWords } from "../../paper/summary.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Words } from "../../parts/Words.tsx";
import { recordTasks } from "../../record/record-tasks.ts";
import type { ReadyToClose } from "../../session/close-job.ts";
import { inBackground } from "../../state/failures.ts";
import { stateKey } from "../../state/record-state.ts";

/**
 * Closes the record as a revision that never changes. What is still open is listed and confirmed
 * first; a later change of the job makes a further revision.
 */
export function CloseRecord({ canClose }: { readonly canClose: boolean }) {
  const { t, when } = useApp();
  const { session, state } = useJob();
  const [ready, setReady] = useState<ReadyToClose | null>(null);
  const [busy, setBusy] = useState(false);
  const [reason, setReason] = useState("");
  const [problem, setProblem] = useState<string | null>(null);
  const last = state.revisions.at(-1);
  const unchanged = last !== undefined && last.stateKey === stateKey(state);
  const run = async (work: () => Promise<void>) => {
    setBusy(true);
    setProblem(null);
    try {
      await work();
    } catch (error) {
      const detail = error instanceof Error ? error.message : String(error);
      setProblem(t("close.failed", { reason: detail }));
    } finally {
      setBusy(false);
    }
  };
  const prepare = () =>
    run(async () => {
      const tasks = recordTasks();
      setReady(await session.prepareClosing((file) => tasks.seal(file)));
    });
  const close = (prepared: ReadyToClose) =>
    run(async () => {
      await session.closeRecord(prepared, reason);
      setReason("");
    });
  return (
    <>
      {last ? (
        <Notice
          kind="info"
          title={t("record.closedAt", { when: when(last.closedAt) })}
          testId="closed"
          state={unchanged ? "unchanged" : "changed"}
        >
          <p>
            {t(unchanged ? "close.unchanged" : "close.changed", {
              number: last.number,
              next: last.number + 1,
            })}
          </p>
        </Notice>
      ) : null}
      {problem ? <Notice kind="error" title={problem} /> : null}
      {unchanged ? null : (
        <>
          {last ? (
            <TextField label={t("close.reason")} value={reason} onChange={setReason} />
          ) : null}
          <Button
            icon="check"
            disabled={!canClose || busy || !state.writable}
            onClick={prepare}
            data-testid="close-record"
          >
            {busy
              ? t("close.reading")
              : last
                ? t("close.again", { number: last.number + 1 })
                : t("record.close")}
          </Button>
        </>
      )}
      {ready ? (
        <Confirm
          title={t(ready.openPoints.length > 0 ? "close.askOpen" : "close.ask")}
          action={t("close.confirm")}
          onConfirm={() => inBackground(close(ready))}
          onClose={() => setReady(null)}
        >
          <OpenPoints ready={ready} />
          <p>
            <Words text={t("close.explain")} />
          </p>
        </Confirm>
      ) : null}
    </>
  );
}

function OpenPoints({ ready }: { readonly ready: ReadyToClose }) {
  const { t } = useApp();
  return ready.openPoints.length > 0 ? (
    <ul data-testid="open-points">
      {ready.openPoints.map((point) => (
        <li key={point.code}>{openPointWords(point, { t })}</li>
      ))}
    </ul>
  ) : null;
}
