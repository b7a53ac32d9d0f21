import { useState } from "react";
import { useApp } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { Notice } from "../../parts/Notice.tsx";
import { OpenFile } from "../../parts/OpenFile.tsx";
import { recordTasks } from "../../record/record-tasks.ts";
import type { RecordWorker } from "../../record/record-worker.ts";

type Verified = Awaited<ReturnType<RecordWorker["verify"]>>;

/** Opens a record archive of anybody and says whether it is as it was closed. */
export function VerifyArchive() {
  const { t } = useApp();
  const [found, setFound] = useState<(Verified & { readonly name: string }) | null>(null);
  const open = async (file: File) => {
    setFound(null);
    setFound({ ...(await recordTasks().verify(file)), name: file.name });
  };
  return (
    <>
      <OpenFile
        accept=".zip,application/zip"
        label={t("verify.open")}
        onFile={open}
        testId="verify-archive"
      />
      {found ? <Verdict found={found} /> : null}
    </>
  );
}

function Verdict({ found }: { readonly found: Verified & { readonly name: string } }) {
  const { t, when } = useApp();
  const said = found.findings.map(({ code, file, severity, values }) => ({
    severity,
    words: t(code as TextKey, { ...values, file: file ?? "" }),
  }));
  const title = t(found.intact ? "verify.intact" : "verify.changed", { name: found.name });
  return (
    <Notice
      kind={found.intact ? "info" : "error"}
      title={title}
      testId="verified"
      state={found.intact ? "intact" : "changed"}
    >
      <ul>
        {found.revisions.map(({ sha256, number, closedAt, title: name }) => (
          <li key={sha256}>
            {t("handOver.revision", { number })} · {when(closedAt)} · {name}
          </li>
        ))}
        {said.map(({ words }) => (
          <li key={words}>{words}</li>
        ))}
      </ul>
      <p className="small">{t("verify.limits")}</p>
    </Notice>
  );
}
