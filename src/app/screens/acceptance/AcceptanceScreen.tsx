import { useCallback, useEffect, useRef, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { AcceptancePicture } from "../../drawing/AcceptancePicture.tsx";
import { emptyDraft } from "../../library/acceptance.ts";
import { TextField } from "../../parts/fields/Fields.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { inBackground } from "../../state/failures.ts";
import { loadAcceptance, type StoredAcceptance, saveAcceptance } from "../../store/acceptance.ts";
import { Frame } from "../frame/Frame.tsx";
import type { ChangeDraft, DraftProps } from "./draft-props.ts";
import { Instruments } from "./Instruments.tsx";
import { AcceptanceLengths } from "./Lengths.tsx";
import { AcceptanceOutcome } from "./Outcome.tsx";
import { Rounds } from "./Rounds.tsx";

/** The acceptance test of the shop's own phone, prints and boards: one page from top to bottom. */
export default function AcceptanceScreen() {
  const { t } = useApp();
  const [stored, setStored] = useState<StoredAcceptance | null>(null);
  // Photos of a round come in one by one: each change starts from the latest.
  const latest = useRef<StoredAcceptance | null>(null);
  useEffect(() => {
    const load = loadAcceptance().then((found) => {
      latest.current = found ?? { draft: emptyDraft(), result: null, stale: false };
      setStored(latest.current);
    });
    inBackground(load);
  }, []);
  const keep = useCallback((next: StoredAcceptance) => {
    latest.current = next;
    setStored(next);
    inBackground(saveAcceptance(next));
  }, []);
  const change: ChangeDraft = useCallback(
    (part) => {
      if (latest.current) {
        keep({ ...latest.current, draft: part(latest.current.draft), stale: true });
      }
    },
    [keep],
  );
  return (
    <Frame title={t("accept.title")} back={{ href: "#/settings", label: t("settings.title") }}>
      <div className="settings">
        <h1>{t("accept.title")}</h1>
        <p>{t("accept.intro")}</p>
        {stored ? <Parts stored={stored} change={change} keep={keep} /> : null}
        <Notice kind="info" title={t("accept.caution")} />
      </div>
    </Frame>
  );
}

function Parts(props: {
  readonly stored: StoredAcceptance;
  readonly change: ChangeDraft;
  readonly keep: (next: StoredAcceptance) => void;
}) {
  const { stored, change, keep } = props;
  const { draft } = stored;
  return (
    <>
      <LayOut />
      <Prints draft={draft} change={change} />
      <Instruments draft={draft} change={change} />
      <AcceptanceLengths draft={draft} change={change} />
      <Rounds draft={draft} change={change} />
      <Limits draft={draft} change={change} />
      <AcceptanceOutcome stored={stored} keep={keep} />
    </>
  );
}

function LayOut() {
  const { t, show } = useApp();
  return (
    <Panel title={t("accept.lay")}>
      <AcceptancePicture />
      <p>{t("accept.layText", { side: show(2000, "length", 0) })}</p>
    </Panel>
  );
}

function Prints({ draft, change }: DraftProps) {
  const { t, settings } = useApp();
  const named = (plates: string) => change((d) => ({ ...d, plates }));
  return (
    <Panel title={t("accept.prints")}>
      <p>{t("accept.printsText")}</p>
      <div className="form-pair">
        <NumberField
          label={t("accept.horizontal")}
          quantity="length"
          value={draft.barHorizontalMm}
          onChange={(barHorizontalMm) => change((d) => ({ ...d, barHorizontalMm }))}
        />
        <NumberField
          label={t("accept.vertical")}
          quantity="length"
          value={draft.barVerticalMm}
          onChange={(barVerticalMm) => change((d) => ({ ...d, barVerticalMm }))}
        />
      </div>
      <TextField
        label={t("accept.plates")}
        hint={t("accept.platesHint")}
        value={draft.plates}
        onChange={named}
      />
      {settings.plateSets.length > 0 ? (
        <div className="chip-row">
          {settings.plateSets.map(({ name }) => (
            <button
              key={name}
              type="button"
              className="chip"
              aria-pressed={name === draft.plates.trim()}
              onClick={() => named(name)}
            >
              {name}
            </button>
          ))}
        </div>
      ) : null}
    </Panel>
  );
}

function Limits({ draft, change }: DraftProps) {
  const { t, show } = useApp();
  const metre = show(1000, "length", 0);
  return (
    <Panel title={t("accept.limits")}>
      <p>
        {t("accept.limitsText", {
          fixed: show(1, "length", 0),
          more: show(0.5, "length", 1),
          length: metre,
        })}
      </p>
      <div className="form-pair">
        <NumberField
          label={t("accept.fixed")}
          quantity="length"
          value={draft.fixedMm}
          onChange={(fixedMm) => change((d) => ({ ...d, fixedMm }))}
        />
        <NumberField
          label={t("accept.perMetre", { length: metre })}
          quantity="length"
          value={draft.perMetreMm}
          onChange={(perMetreMm) => change((d) => ({ ...d, perMetreMm }))}
        />
      </div>
      <NumberField
        label={t("accept.everyDays")}
        value={draft.everyDays}
        onChange={(everyDays) => change((d) => ({ ...d, everyDays }))}
      />
    </Panel>
  );
}
