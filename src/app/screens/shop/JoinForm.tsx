import { useState } from "react";
import { type Invitation, readInvitation } from "../../../replicate/formats/address.ts";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { OpenFile } from "../../parts/OpenFile.tsx";
import { Panel } from "../../parts/Panel.tsx";

interface Detector {
  detect(image: ImageBitmap): Promise<readonly { readonly rawValue: string }[]>;
}

/** The browser's own reader of codes; most phones have one, most computers do not. */
const detectorHere = (): Detector | null => {
  const { BarcodeDetector } = globalThis as {
    BarcodeDetector?: new (options: { formats: string[] }) => Detector;
  };
  return BarcodeDetector ? new BarcodeDetector({ formats: ["qr_code"] }) : null;
};

/** Joins a shop by the code of another phone: photographed where the browser reads codes, or pasted. */
export function JoinForm(props: { readonly onJoin: (invitation: Invitation) => Promise<void> }) {
  const { t } = useApp();
  const [text, setText] = useState("");
  const [problem, setProblem] = useState<string | null>(null);
  const detector = detectorHere();
  const join = async (written: string) => {
    const invitation = readInvitation(written);
    setProblem(invitation ? null : t("store.noCode"));
    if (invitation) await props.onJoin(invitation);
  };
  const photographed = async (file: File) => {
    const codes = await detector!.detect(await createImageBitmap(file));
    if (codes[0]) await join(codes[0].rawValue);
    else setProblem(t("store.noCodeSeen"));
  };
  return (
    <Panel title={t("store.join")}>
      <div className="form">
        <p>{t(detector ? "store.joinText" : "store.joinPaste")}</p>
        {detector ? (
          <OpenFile accept="image/*" label={t("store.photograph")} onFile={photographed} />
        ) : null}
        <TextField label={t("store.code")} value={text} onChange={setText} long testId="code" />
        {problem ? (
          <p className="field-problem" role="alert">
            {problem}
          </p>
        ) : null}
        <div className="button-row">
          <Button disabled={text.trim() === ""} onClick={() => void join(text)}>
            {t("store.joinNow")}
          </Button>
        </div>
      </div>
    </Panel>
  );
}
