import { useState } from "react";
import { keyFileSchema, type StoreAddress } from "../../../replicate/formats/address.ts";
import { isPhraseLongEnough } from "../../../replicate/keys/shop-key.ts";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { ChoiceField, TextField } from "../../parts/fields/Fields.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { type KeyEntry, suggestedAddress } from "../../replica/connect.ts";

const keyKinds = ["new", "phrase", "text"] as const;
const keyWords = { new: "store.keyNew", phrase: "store.keyPhrase", text: "store.keyText" } as const;

/** A key typed as it is, or the whole text of a key file. */
const keyIn = (text: string): string => {
  try {
    return keyFileSchema.parse(JSON.parse(text)).key;
  } catch {
    return text.trim();
  }
};

export function SetUpForm(props: {
  readonly busy: boolean;
  readonly onConnect: (address: StoreAddress, key: KeyEntry) => void;
}) {
  const { t } = useApp();
  const [kind, setKind] = useState<"webdav" | "s3">("webdav");
  const [fields, setFields] = useState({
    url: suggestedAddress(),
    user: "",
    password: "",
    bucket: "",
    region: "us-east-1",
    accessKey: "",
    secretKey: "",
  });
  const [keyKind, setKeyKind] = useState<(typeof keyKinds)[number]>("new");
  const [secret, setSecret] = useState("");
  const [problem, setProblem] = useState<string | null>(null);
  const field = (name: keyof typeof fields, label: string, type: "text" | "password" = "text") => (
    <TextField
      label={label}
      type={type}
      value={fields[name]}
      onChange={(value) => setFields({ ...fields, [name]: value.trim() })}
    />
  );
  const connect = () => {
    const { url, user, password, ...s3 } = fields;
    if (!/^https?:\/\/[^\s/]+/i.test(url)) return setProblem(t("store.addressWrong"));
    if (keyKind === "phrase" && !isPhraseLongEnough(secret)) {
      return setProblem(t("store.phraseShort"));
    }
    setProblem(null);
    const entry: Record<typeof keyKind, KeyEntry> = {
      new: { kind: "new" },
      phrase: { kind: "phrase", phrase: secret },
      text: { kind: "text", text: keyIn(secret) },
    };
    props.onConnect(
      kind === "webdav" ? { kind, url, user, password } : { kind, url, folder: "", ...s3 },
      entry[keyKind],
    );
  };
  return (
    <Panel title={t("store.setUp")} testId="set-up">
      <div className="form">
        <ChoiceField
          label={t("store.kind")}
          value={kind}
          choices={[
            { value: "webdav", label: t("store.kindWebdav") },
            { value: "s3", label: t("store.kindS3") },
          ]}
          onChange={setKind}
        />
        <TextField
          label={t("store.address")}
          hint={t(kind === "webdav" ? "store.addressHint" : "store.addressHintS3")}
          type="url"
          value={fields.url}
          onChange={(url) => setFields({ ...fields, url: url.trim() })}
        />
        {kind === "webdav" ? (
          <>
            {field("user", t("store.user"))}
            {field("password", t("store.password"), "password")}
          </>
        ) : (
          <>
            {field("bucket", t("store.bucket"))}
            {field("region", t("store.region"))}
            {field("accessKey", t("store.accessKey"))}
            {field("secretKey", t("store.secretKey"), "password")}
          </>
        )}
        <ChoiceField
          label={t("store.keyKind")}
          hint={t("store.keyHint")}
          value={keyKind}
          choices={keyKinds.map((value) => ({ value, label: t(keyWords[value]) }))}
          onChange={setKeyKind}
        />
        {keyKind === "new" ? null : (
          <TextField
            label={t(keyKind === "phrase" ? "store.phrase" : "store.keyEntry")}
            value={secret}
            onChange={setSecret}
          />
        )}
        {problem ? (
          <p className="field-problem" role="alert">
            {problem}
          </p>
        ) : null}
        <div className="button-row">
          <Button kind="now" onClick={connect} disabled={props.busy}>
            {t("store.connect")}
          </Button>
        </div>
        {props.busy ? <p role="status">{t("store.connecting")}</p> : null}
      </div>
    </Panel>
  );
}
