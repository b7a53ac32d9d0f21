import { useEffect, useState } from "react";
import { differences } from "../../../record/differences.ts";
import { useApp } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { changeWords } from "../../paper/changes.ts";
import { outcomeWord } from "../../paper/summary.ts";
import { Button } from "../../parts/Button.tsx";
import { ChoiceField, TextField } from "../../parts/fields/Fields.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { matches } from "../../record/recall.ts";
import { inBackground } from "../../state/failures.ts";
import type { RevisionEntry } from "../../store/database/revision-entry.ts";
import { listAllRevisions, loadRevision } from "../../store/records/revisions.ts";
import { Frame } from "../frame/Frame.tsx";
import { Statistics } from "./Statistics.tsx";
import { VerifyArchive } from "./VerifyArchive.tsx";

const outcomes = ["any", "all meet", "some miss", "not proven", "none"] as const;

/** Everything that was closed on this device: to be found again, compared, and counted. */
export default function RecordsScreen() {
  const { t } = useApp();
  const [entries, setEntries] = useState<readonly RevisionEntry[]>([]);
  const [search, setSearch] = useState("");
  const [outcome, setOutcome] = useState<(typeof outcomes)[number]>("any");
  const [chosen, setChosen] = useState<readonly RevisionEntry[]>([]);
  useEffect(() => {
    inBackground(listAllRevisions().then(setEntries));
  }, []);
  const shown = [...entries].reverse().filter((entry) => matches(entry, search, outcome));
  const choose = (entry: RevisionEntry) =>
    setChosen((before) => [...before.filter((one) => one !== entry), entry].slice(-2));
  return (
    <Frame title={t("recall.title")} back={{ href: "#/", label: t("jobs.title") }}>
      <div className="settings">
        <h1>{t("recall.title")}</h1>
        <Panel title={t("recall.find")}>
          <div className="form">
            <TextField
              label={t("recall.search")}
              type="search"
              value={search}
              onChange={setSearch}
            />
            <ChoiceField
              label={t("recall.outcome")}
              value={outcome}
              choices={outcomes.map((value) => ({
                value,
                label: value === "any" ? t("recall.any") : t(`record.outcome.${value}`),
              }))}
              onChange={setOutcome}
            />
          </div>
          <ul className="plain-list record-list" data-testid="records">
            {shown.map((entry) => (
              <RecordLine
                key={entry.sha256}
                entry={entry}
                chosen={chosen.includes(entry)}
                onChoose={() => choose(entry)}
              />
            ))}
          </ul>
          {shown.length === 0 ? <p className="quiet">{t("recall.none")}</p> : null}
          <VerifyArchive />
        </Panel>
        {chosen.length === 2 ? <Comparison before={chosen[0]} after={chosen[1]} /> : null}
        <Statistics entries={entries} />
      </div>
    </Frame>
  );
}

function RecordLine(props: {
  readonly entry: RevisionEntry;
  readonly chosen: boolean;
  readonly onChoose: () => void;
}) {
  const { entry, chosen, onChoose } = props;
  const { t, when } = useApp();
  const name = entry.plate || entry.title || entry.vehicle;
  return (
    <li>
      <a href={stageHref(entry.jobId, "record")}>
        {name} · {t("handOver.revision", { number: entry.number })}
      </a>
      <p className="small quiet">
        {[when(entry.closedAt), entry.sheet, entry.customer, ...entry.printSets]
          .filter(Boolean)
          .join(" · ")}{" "}
        · {outcomeWord(entry.outcome === "none" ? null : entry.outcome, { t })}
      </p>
      <Button aria-pressed={chosen} onClick={onChoose}>
        {t("recall.compare")}
      </Button>
    </li>
  );
}

/** Differences that are shown at once. */
const mostLines = 80;

function Comparison(props: { readonly before: RevisionEntry; readonly after: RevisionEntry }) {
  const { before, after } = props;
  const { t } = useApp();
  const [lines, setLines] = useState<readonly string[] | null>(null);
  useEffect(() => {
    const read = async () => {
      const [a, b] = [await loadRevision(before.sha256), await loadRevision(after.sha256)];
      const found = a && b ? differences(a.revision.content, b.revision.content) : [];
      setLines(found.map((change) => changeWords(change, { t })));
    };
    inBackground(read());
  }, [before, after, t]);
  return (
    <Panel title={t("recall.differences")}>
      {lines?.length === 0 ? <p>{t("recall.same")}</p> : null}
      <ul data-testid="differences">
        {(lines ?? []).slice(0, mostLines).map((line) => (
          <li key={line}>{line}</li>
        ))}
      </ul>
      {lines && lines.length > mostLines ? (
        <p>{t("record.changesMore", { count: lines.length - mostLines })}</p>
      ) : null}
    </Panel>
  );
}
