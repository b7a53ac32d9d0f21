import { useEffect, useState } from "react";
import { fingerprintOf, publicKeyFileSchema } from "../../../record/signature.ts";
import { useApp } from "../../context/app-context.ts";
import { saveFile } from "../../library/save-file.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { inBackground } from "../../state/failures.ts";
import {
  canSign,
  deleteSigningKey,
  loadSigningKey,
  makeSigningKey,
  type SigningKey,
} from "../../store/records/signing-key.ts";

/** The device's key for signing records: made here, its public half handed out, deleted for good. */
export function Signing() {
  const { t } = useApp();
  const [key, setKey] = useState<SigningKey | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  useEffect(() => {
    inBackground(loadSigningKey().then(setKey));
  }, []);
  const make = async () => {
    setProblem(null);
    try {
      setKey(await makeSigningKey(new Date().toISOString()));
    } catch (error) {
      setProblem(t("sign.failed", { reason: error instanceof Error ? error.message : "" }));
    }
  };
  return (
    <Panel title={t("sign.title")} testId="signing">
      <p>{t("sign.explain")}</p>
      <p>{t("sign.proves")}</p>
      {problem ? <Notice kind="error" title={problem} /> : null}
      {key ? <PresentKey signing={key} onDeleted={() => setKey(null)} /> : null}
      {key || !canSign() ? null : (
        <>
          <p className="quiet">{t("sign.none")}</p>
          <Button onClick={make} data-testid="make-key">
            {t("sign.make")}
          </Button>
        </>
      )}
      {canSign() ? null : <Notice kind="info" title={t("sign.insecure")} />}
    </Panel>
  );
}

function PresentKey(props: { readonly signing: SigningKey; readonly onDeleted: () => void }) {
  const { signing, onDeleted } = props;
  const { t, when, settings } = useApp();
  const [asked, setAsked] = useState(false);
  const { key, madeAt } = signing;
  const save = () => {
    const owner = [settings.technician, settings.shop].filter(Boolean).join(", ");
    const file = publicKeyFileSchema.parse({
      format: "plumbshot-public-key",
      version: 1,
      owner,
      key,
    });
    saveFile("plumbshot-public-key.json", JSON.stringify(file, null, 2));
  };
  return (
    <>
      <p data-testid="key">
        {t("sign.has", { when: when(madeAt), fingerprint: fingerprintOf(key) })}
      </p>
      <div className="button-row">
        <Button icon="save" onClick={save} data-testid="export-key">
          {t("sign.export")}
        </Button>
        <Button kind="bare" onClick={() => setAsked(true)} data-testid="delete-key">
          {t("sign.delete")}
        </Button>
      </div>
      {asked ? (
        <Confirm
          title={t("sign.deleteAsk")}
          action={t("sign.delete")}
          onConfirm={() => inBackground(deleteSigningKey().then(onDeleted))}
          onClose={() => setAsked(false)}
        >
          <p>{t("sign.deleteExplain")}</p>
        </Confirm>
      ) : null}
    </>
  );
}
