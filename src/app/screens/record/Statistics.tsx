import { useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { TrendDrawing } from "../../drawing/TrendDrawing.tsx";
import { formatPercent } from "../../i18n/units.ts";
import { SelectField } from "../../parts/fields/Fields.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Words } from "../../parts/Words.tsx";
import {
  accuracyOverTime,
  type CheckStatistics,
  checkStatistics,
  printsOverTime,
} from "../../record/recall.ts";
import type { RevisionEntry } from "../../store/database/revision-entry.ts";

/** What the closed records of the shop say together: misses, accuracy and prints over time. */
export function Statistics({ entries }: { readonly entries: readonly RevisionEntry[] }) {
  const { t } = useApp();
  const rows = checkStatistics(entries);
  if (rows.length === 0) {
    return null;
  }
  return (
    <Panel title={t("recall.statistics")} testId="statistics">
      <h3>{t("recall.missed")}</h3>
      <ul className="shares">
        {rows.map((row) => (
          <Share key={`${row.label} ${row.unit}`} row={row} />
        ))}
      </ul>
      <ul className="shares-key small" aria-hidden="true">
        <li>
          <span className="share share-missed" /> {t("verdict.misses")}
        </li>
        <li>
          <span className="share share-open" /> {t("verdict.notProven")}
        </li>
        <li>
          <span className="share share-met" /> {t("verdict.meets")}
        </li>
      </ul>
      <Accuracy rows={rows} entries={entries} />
      <Prints entries={entries} />
    </Panel>
  );
}

/** How often a check missed and was not proven, as a bar of all its records. */
function Share({ row }: { readonly row: CheckStatistics }) {
  const { t, say, showUncertainty } = useApp();
  const parts = [
    ["share-missed", row.misses],
    ["share-open", row.notProven],
    ["share-met", row.count - row.misses - row.notProven],
  ] as const;
  return (
    <li>
      <strong>
        <Words text={say(row.labelSaid, row.label)} />
      </strong>
      <div className="share-bar" aria-hidden="true">
        {parts.map(([name, count]) =>
          count > 0 ? (
            <span key={name} className={`share ${name}`} style={{ flexGrow: count }} />
          ) : null,
        )}
      </div>
      <p className="small">
        <Words
          text={t("recall.row", {
            count: row.count,
            misses: row.misses,
            notProven: row.notProven,
            sure: showUncertainty(
              row.medianUncertainty,
              row.unit === "mm" ? "length" : "angle",
              row.unit === "mm" ? 1 : 2,
            ),
          })}
        />
      </p>
    </li>
  );
}

function Accuracy(props: {
  readonly rows: readonly CheckStatistics[];
  readonly entries: readonly RevisionEntry[];
}) {
  const { rows, entries } = props;
  const { t, say, showUncertainty } = useApp();
  const [chosen, setChosen] = useState(0);
  const row = rows[chosen] ?? rows[0];
  const points = accuracyOverTime(entries, row);
  const quantity = row.unit === "mm" ? "length" : "angle";
  return (
    <>
      <h3>{t("recall.accuracy")}</h3>
      <SelectField
        label={t("cross.check")}
        value={String(chosen)}
        choices={rows.map((one, index) => ({
          value: String(index),
          label: say(one.labelSaid, one.label),
        }))}
        onChange={(index) => setChosen(Number(index))}
      />
      <TrendDrawing
        title={t("recall.accuracyHeard", {
          first: showUncertainty(points[0].value, quantity, row.unit === "mm" ? 1 : 2),
          last: showUncertainty(
            points[points.length - 1].value,
            quantity,
            row.unit === "mm" ? 1 : 2,
          ),
          count: points.length,
        })}
        series={[{ name: "", mark: "ring", points }]}
        say={(value) => `± ${showUncertainty(value, quantity, row.unit === "mm" ? 0 : 1)}`}
        fromZero
      />
      <p className="small quiet">{t("recall.accuracyKey")}</p>
    </>
  );
}

function Prints({ entries }: { readonly entries: readonly RevisionEntry[] }) {
  const { t, locale } = useApp();
  const { across, up } = printsOverTime(entries);
  if (across.length === 0) {
    return null;
  }
  const percent = (share: number) => `${share > 0 ? "+" : ""}${formatPercent(share, 1, locale)}`;
  const ends = (points: typeof across) => percent(points[points.length - 1].value);
  return (
    <>
      <h3>{t("recall.prints")}</h3>
      <TrendDrawing
        title={t("recall.printsHeard", {
          across: ends(across),
          up: ends(up),
          count: across.length,
        })}
        series={[
          { name: "across", mark: "ring", points: across },
          { name: "up", mark: "cross", points: up },
        ]}
        say={percent}
        fromZero
      />
      <p className="small quiet">{t("recall.printsKey")}</p>
    </>
  );
}
