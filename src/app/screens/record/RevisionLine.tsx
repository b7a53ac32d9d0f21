import { useEffect, useState } from "react";
import { fingerprintOf, readSignature } from "../../../record/signature.ts";
import { useApp } from "../../context/app-context.ts";
import { outcomeWord } from "../../paper/summary.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { signerOf, signRevision } from "../../session/sign-record.ts";
import { inBackground } from "../../state/failures.ts";
import type { RevisionEntry } from "../../store/database/revision-entry.ts";
import { loadRevision, loadSignature } from "../../store/records/revisions.ts";
import { loadSigningKey } from "../../store/records/signing-key.ts";

/** What a closed revision is called, how it ended, its hash, and who signed it. */
export function RevisionLine({ entry }: { readonly entry: RevisionEntry }) {
  const { t, when } = useApp();
  const outcome = outcomeWord(entry.outcome === "none" ? null : entry.outcome, { t });
  return (
    <>
      <p>
        <strong>{t("handOver.revision", { number: entry.number })}</strong> · {when(entry.closedAt)}{" "}
        · {outcome}
        <br />
        <span className="small quiet">
          {t("handOver.hash", { hash: entry.sha256.slice(0, 16) })}
        </span>
      </p>
      <SignatureLine entry={entry} />
    </>
  );
}

function SignatureLine({ entry: { sha256 } }: { readonly entry: RevisionEntry }) {
  const { t } = useApp();
  /** Fingerprint of the key; null while it is not signed. */
  const [signed, setSigned] = useState<string | null>(null);
  const [hasKey, setHasKey] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => {
    const read = async () => {
      const text = await loadSignature(sha256);
      const signature = text === null ? null : readSignature(text);
      setSigned(signature && fingerprintOf(signature.key));
      setHasKey((await loadSigningKey()) !== null);
    };
    inBackground(read());
  }, [sha256]);
  const sign = async () => {
    setProblem(null);
    try {
      const sealed = await loadRevision(sha256);
      const signer = sealed ? signerOf(sealed.revision) : "";
      const made = await signRevision(sha256, signer, new Date().toISOString());
      setSigned(made && fingerprintOf(made.key));
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      setProblem(t("sign.notSigned", { reason }));
    }
  };
  return (
    <p className="small" data-testid="signature" data-signed={signed !== null}>
      {signed ? t("sign.signed", { fingerprint: signed }) : t("sign.unsigned")}{" "}
      {signed === null && hasKey ? (
        <Button onClick={sign} data-testid="sign-now">
          {t("sign.now")}
        </Button>
      ) : null}
      {problem ? <Notice kind="error" title={problem} /> : null}
    </p>
  );
}
