import { useEffect, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { ChoiceField, TextField } from "../../parts/fields/Fields.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { canSpeak } from "../../parts/touch/aloud.ts";
import { readySignals, signal } from "../../parts/touch/signals.ts";
import { OfflineState } from "../../pwa/OfflineState.tsx";
import { inBackground } from "../../state/failures.ts";
import { askToPersist, type StorageState, storageState } from "../../store/database/quota.ts";
import { Frame } from "../frame/Frame.tsx";
import { BackupOfAll } from "./BackupOfAll.tsx";
import { Signing } from "./Signing.tsx";

export default function SettingsScreen() {
  const { t, settings, changeSettings } = useApp();
  return (
    <Frame title={t("settings.title")} back={{ href: "#/", label: t("jobs.title") }}>
      <div className="settings">
        <h1>{t("settings.title")}</h1>
        <Panel title={t("settings.display")}>
          <div className="form">
            <ChoiceField
              label={t("settings.language")}
              value={settings.language}
              choices={[
                { value: "auto", label: t("settings.auto") },
                { value: "en", label: "English" },
                { value: "es", label: "Español" },
              ]}
              onChange={(language) => changeSettings({ language })}
            />
            <ChoiceField
              label={t("settings.theme")}
              value={settings.theme}
              choices={[
                { value: "auto", label: t("settings.auto") },
                { value: "light", label: t("settings.light") },
                { value: "dark", label: t("settings.dark") },
              ]}
              onChange={(theme) => changeSettings({ theme })}
            />
            <ChoiceField
              label={t("settings.length")}
              value={settings.length}
              choices={[
                { value: "mm", label: "mm" },
                { value: "inch", label: t("settings.inch") },
                { value: "inch16", label: t("settings.inch16") },
              ]}
              onChange={(length) => changeSettings({ length })}
              hint={t("settings.lengthHint")}
            />
            <ChoiceField
              label={t("settings.angle")}
              value={settings.angle}
              choices={[
                { value: "deg", label: t("settings.degrees") },
                { value: "mm/m", label: t("settings.mmPerM") },
              ]}
              onChange={(angle) => changeSettings({ angle })}
            />
          </div>
        </Panel>
        <Panel title={t("hands.title")}>
          <div className="form">
            <OnOff
              label={t("hands.gloves")}
              hint={t("hands.glovesHint")}
              on={settings.gloves}
              onChange={(gloves) => changeSettings({ gloves })}
            />
            <OnOff
              label={t("hands.aloud")}
              hint={t(
                canSpeak(document.documentElement.lang) ? "hands.aloudHint" : "hands.noVoice",
              )}
              on={settings.aloud}
              onChange={(aloud) => changeSettings({ aloud })}
            />
            <OnOff
              label={t("hands.tones")}
              hint={t("hands.tonesHint")}
              on={settings.tones}
              onChange={(tones) => {
                if (tones) {
                  readySignals();
                  signal("found");
                }
                changeSettings({ tones });
              }}
            />
          </div>
        </Panel>
        <Panel title={t("settings.shop")}>
          <div className="form">
            <TextField
              label={t("record.technician")}
              value={settings.technician}
              onChange={(technician) => changeSettings({ technician })}
            />
            <TextField
              label={t("record.shop")}
              value={settings.shop}
              onChange={(shop) => changeSettings({ shop })}
            />
          </div>
        </Panel>
        <BackupOfAll />
        <Signing />
        <Panel title={t("settings.offline")}>
          <OfflineState />
          <StorageLines />
        </Panel>
        <Panel title={t("settings.about")}>
          <p>{t("settings.aboutText")}</p>
          <div className="button-row">
            <ButtonLink href="#/guide" icon="info">
              {t("guide.open")}
            </ButtonLink>
            <ButtonLink href="#/glossary" icon="info">
              {t("glossary.title")}
            </ButtonLink>
            <ButtonLink href="#/acceptance" icon="target" testId="acceptance-link">
              {t("accept.open")}
            </ButtonLink>
            <ButtonLink href="#/building" icon="info">
              {t("building.open")}
            </ButtonLink>
          </div>
          <p>{t("settings.caution")}</p>
          <p className="small quiet">
            Plumbshot {__APP_VERSION__} · {t("settings.licences")}
          </p>
        </Panel>
      </div>
    </Frame>
  );
}

function OnOff(props: {
  readonly label: string;
  readonly hint: string;
  readonly on: boolean;
  readonly onChange: (on: boolean) => void;
}) {
  const { label, hint, on, onChange } = props;
  const { t } = useApp();
  return (
    <ChoiceField
      label={label}
      hint={hint}
      value={on ? "yes" : "no"}
      choices={[
        { value: "no", label: t("hands.off") },
        { value: "yes", label: t("hands.on") },
      ]}
      onChange={(value) => onChange(value === "yes")}
    />
  );
}

function StorageLines() {
  const { t, locale } = useApp();
  const [state, setState] = useState<StorageState | null>(null);
  const [asked, setAsked] = useState(false);
  useEffect(() => {
    inBackground(storageState().then(setState));
  }, []);
  if (!state) {
    return null;
  }
  const megabytes = (bytes: number) =>
    new Intl.NumberFormat(locale, { maximumFractionDigits: 0 }).format(bytes / 1e6);
  return (
    <>
      {state.quota ? (
        <p>{t("storage.used", { used: megabytes(state.used), quota: megabytes(state.quota) })}</p>
      ) : null}
      <p>{t(state.persisted ? "storage.persisted" : "storage.notPersisted")}</p>
      {state.persisted ? null : (
        <Button
          onClick={() =>
            inBackground(
              askToPersist().then((persisted) => {
                setAsked(true);
                setState({ ...state, persisted });
              }),
            )
          }
        >
          {t("storage.ask")}
        </Button>
      )}
      {asked && !state.persisted ? <p role="status">{t("storage.refused")}</p> : null}
    </>
  );
}
