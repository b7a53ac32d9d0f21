import { useState } from "react";
import type { z } from "zod";
import { readJson } from "../../../job/file/bounded-json.ts";
import { fingerprintOf, publicKeyFileSchema } from "../../../record/signature.ts";
import { useApp } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { jsonFiles, OpenFile } from "../../parts/OpenFile.tsx";
import { recordTasks } from "../../record/record-tasks.ts";
import type { RecordWorker } from "../../record/record-worker.ts";
import { loadSigningKey } from "../../store/records/signing-key.ts";

type Verified = Awaited<ReturnType<RecordWorker["verify"]>>;
type KeyFile = z.infer<typeof publicKeyFileSchema>;

interface Shown extends Verified {
  readonly name: string;
  /** Fingerprint of this device's own key; null without one. */
  readonly own: string | null;
}

/** Opens a record archive of anybody and says whether it is as it was closed, and by whom signed. */
export function VerifyArchive() {
  const { t } = useApp();
  const [found, setFound] = useState<Shown | null>(null);
  const [wanted, setWanted] = useState<KeyFile | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const open = async (file: File) => {
    setFound(null);
    const verified = await recordTasks().verify(file, wanted?.key ?? null);
    const own = await loadSigningKey();
    setFound({ ...verified, name: file.name, own: own && fingerprintOf(own.key) });
  };
  const openKey = async (file: File) => {
    setFound(null);
    const read = readJson(await file.text());
    const parsed = read.ok ? publicKeyFileSchema.safeParse(read.value) : null;
    setWanted(parsed?.data ?? null);
    setProblem(parsed?.success ? null : t("verify.keyWrong", { name: file.name }));
  };
  return (
    <>
      <OpenFile
        accept=".zip,application/zip"
        label={t("verify.open")}
        onFile={open}
        testId="verify-archive"
      />
      <OpenFile accept={jsonFiles} label={t("verify.key")} onFile={openKey} testId="verify-key" />
      {problem ? <Notice kind="error" title={problem} /> : null}
      {wanted ? (
        <p data-testid="wanted-key">
          {t("verify.keyUsed", {
            owner: wanted.owner || "–",
            fingerprint: fingerprintOf(wanted.key),
          })}{" "}
          <Button kind="bare" onClick={() => setWanted(null)}>
            {t("verify.anyKey")}
          </Button>
        </p>
      ) : null}
      {found ? <Verdict found={found} /> : null}
    </>
  );
}

function Verdict({ found }: { readonly found: Shown }) {
  const { t, when } = useApp();
  const said = found.findings.map(({ code, file, values }) =>
    t(code as TextKey, { ...values, file: file ?? "" }),
  );
  const { own } = found;
  const isOwn = own !== null && found.findings.some(({ values }) => values.fingerprint === own);
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
        {said.map((words) => (
          <li key={words}>{words}</li>
        ))}
        {isOwn ? <li>{t("verify.ownKey", { fingerprint: own })}</li> : null}
      </ul>
      <p className="small">{t("verify.limits")}</p>
    </Notice>
  );
}
