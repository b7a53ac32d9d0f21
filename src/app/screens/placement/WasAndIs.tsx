import type { Result } from "../../../job/result/result.ts";
import { useApp, useJobState } from "../../context/app-context.ts";
import { checkDecimals, checkName, quantityOf, valueWords } from "../../i18n/words.ts";
import { Panel } from "../../parts/Panel.tsx";
import { wasAndIs } from "../../state/before-move.ts";
import { VerdictMark } from "./Verdict.tsx";

/** After the stand was photographed again: what was, what is now, and whether it moved at all. */
export function WasAndIs({ result }: { readonly result: Result }) {
  const { t, say, showMeasured } = useApp();
  const was = useJobState((state) => state.record.placement.was ?? null);
  if (!was || was.measuredAt === result.measuredAt) {
    return null;
  }
  const rows = wasAndIs(was, result);
  const name = (row: (typeof rows)[number]) =>
    checkName(row.check, t) ?? say(row.check.labelSaid, row.check.label);
  const moved = rows.filter(({ seen }) => seen);
  const what = moved.map((row) =>
    t("was.by", {
      name: name(row),
      amount: showMeasured(Math.abs(row.change), quantityOf(row.check), checkDecimals(row.check)),
    }),
  );
  return (
    <Panel title={t("was.title")} testId="was-and-is">
      <p>
        <strong>
          {moved.length > 0 ? t("was.moved", { what: what.join(", ") }) : t("was.still")}
        </strong>
      </p>
      <div className="scroll-x">
        <table className="was-table">
          <thead>
            <tr>
              <td />
              <th scope="col">{t("was.was")}</th>
              <th scope="col">{t("was.now")}</th>
            </tr>
          </thead>
          <tbody>
            {rows.map((row) => {
              const { check } = row;
              const value = (measured: number) =>
                valueWords(check, measured, checkDecimals(check), t, showMeasured);
              return (
                <tr key={check.id}>
                  <th scope="row">{name(row)}</th>
                  <td>{value(row.was.measured)}</td>
                  <td>
                    <VerdictMark verdict={check.verdict} /> {value(check.measured)}
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
    </Panel>
  );
}
