import { useState } from "react";
import { boardPageLayout, papers } from "../../../boards/pages/paper.ts";
import { checkPrint } from "../../../boards/print-check.ts";
import { barReadingSdMm, wayOfSd } from "../../../job/file/reading-ways.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { farMm, farWords, formatPercent } from "../../i18n/units.ts";
import {
  emptySet,
  firstSetId,
  isRead,
  printSetsOf,
  samePrints,
  withNewPrintSet,
  withoutPrintSet,
  withPrintSet,
} from "../../library/print-sets.ts";
import { Button } from "../../parts/Button.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { HowSure } from "../../parts/fields/HowSure.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Notice, Remarks } from "../../parts/Notice.tsx";
import { Words } from "../../parts/Words.tsx";
import { withoutUnread } from "../../state/unread.ts";
import { newId } from "../../store/database/database.ts";
import type { PrintSet } from "../../store/database/schema.ts";
import { SetBoards } from "./SetBoards.tsx";

/** Sets of prints: boards that were printed together, each set with both bars of its own. */
export function PrintSets() {
  const { t, settings, showStated, show, units, locale } = useApp();
  const { session, state } = useJob();
  const [first, ...others] = printSetsOf(state.record);
  const bars = boardPageLayout(papers[settings.paper === "a4" ? "A4" : "Letter"]);
  return (
    <div className="form">
      <p>
        <Words
          text={t("boards.checkExplain", {
            across: showStated(bars.horizontal.lengthMm, "length"),
            up: showStated(bars.vertical.lengthMm, "length"),
            off: show(farMm * 0.005, "length", 0),
            far: farWords(units, locale),
          })}
        />
      </p>
      <ShopSets />
      {others.length === 0 ? (
        <SetFields set={first} />
      ) : (
        <fieldset className="length">
          <legend>{first.name || t("prints.firstSet")}</legend>
          <p className="small quiet">{t("prints.allOthers")}</p>
          <SetFields set={first} />
        </fieldset>
      )}
      {others.map((set, index) => (
        <fieldset className="length" key={set.id} data-testid="print-set">
          <legend>{set.name || t("prints.set", { number: index + 2 })}</legend>
          <SetBoards
            chosen={set.ids}
            onChange={(ids) => session.update((record) => withPrintSet(record, set.id, { ids }))}
          />
          <SetFields set={set} />
          <Button
            icon="bin"
            onClick={() =>
              session.update((record) =>
                withoutPrintSet(withoutUnread(record, `prints.${set.id}`), set.id),
              )
            }
          >
            {t("prints.remove")}
          </Button>
        </fieldset>
      ))}
      <p className="small quiet">{t("prints.explain")}</p>
      <Button
        icon="plus"
        data-testid="add-print-set"
        onClick={() =>
          session.update((record) => withNewPrintSet(record, emptySet(newId(), settings.paper)))
        }
      >
        {t("prints.add")}
      </Button>
    </div>
  );
}

/** The sets that this shop keeps: one tap takes one into the job. */
function ShopSets() {
  const { t, settings } = useApp();
  const { session, state } = useJob();
  const { printSets } = settings;
  const used = printSetsOf(state.record);
  if (printSets.length === 0) {
    return null;
  }
  const take = (set: PrintSet) =>
    session.update((record) =>
      set.ids.length === 0
        ? withPrintSet(record, firstSetId, set)
        : withNewPrintSet(record, { ...set, id: newId() }),
    );
  return (
    <fieldset className="choice">
      <legend>{t("prints.ofShop")}</legend>
      <div className="chip-row">
        {printSets.map((set) => {
          const taken = used.some((one) => samePrints(one, set));
          return (
            <button
              key={set.name}
              type="button"
              className="chip"
              aria-pressed={taken}
              onClick={() => (taken ? undefined : take(set))}
            >
              {set.name}
            </button>
          );
        })}
      </div>
    </fieldset>
  );
}

/** A reading made against another paper's bar keeps that bar; else the present paper's counts. */
const designed = (bar: PrintSet["barHorizontal"], ofPaper: number): number =>
  bar.readingMm === null ? ofPaper : bar.nominalMm;

/** The two bars of one set, and what their readings do to the result. */
function SetFields({ set }: { readonly set: PrintSet }) {
  const { t, settings, showStated } = useApp();
  const { session } = useJob();
  const change = (part: Partial<PrintSet>) =>
    session.update((record) => withPrintSet(record, set.id, part));
  const layout = boardPageLayout(papers[settings.paper === "a4" ? "A4" : "Letter"]);
  const across = designed(set.barHorizontal, layout.horizontal.lengthMm);
  const up = designed(set.barVertical, layout.vertical.lengthMm);
  const first = set.id === firstSetId;
  const at = first ? "bars" : `prints.${set.id}`;
  return (
    <>
      <div className="form-pair">
        <NumberField
          label={t("boards.across", { length: showStated(across, "length") })}
          value={set.barHorizontal.readingMm}
          quantity="length"
          testId={first ? "bar-across" : "set-across"}
          at={`${at}.across`}
          onChange={(readingMm) => change({ barHorizontal: { nominalMm: across, readingMm } })}
        />
        <NumberField
          label={t("boards.up", { length: showStated(up, "length") })}
          value={set.barVertical.readingMm}
          quantity="length"
          testId={first ? "bar-up" : "set-up"}
          at={`${at}.up`}
          onChange={(readingMm) => change({ barVertical: { nominalMm: up, readingMm } })}
        />
      </div>
      <HowSure
        label={t("boards.readingSd")}
        ways={["steel rule", "folding rule", "estimated"]}
        way={wayOfSd(barReadingSdMm, set.readingSdMm)}
        sdMm={set.readingSdMm}
        at={`${at}.sure`}
        onWay={(way) => change({ readingSdMm: barReadingSdMm[way] })}
        onSd={(readingSdMm) => change({ readingSdMm })}
      />
      <PrintVerdict set={set} />
      <KeepSet key={set.id} set={set} onName={(name) => change({ name })} />
    </>
  );
}

function PrintVerdict({ set }: { readonly set: PrintSet }) {
  const { t, locale, units, showMeasured, showUncertainty } = useApp();
  const { session, state } = useJob();
  const { barHorizontal, barVertical, readingSdMm } = set;
  if (barHorizontal.readingMm === null || barVertical.readingMm === null) {
    return <Notice kind="warning" title={t("boards.unchecked")} />;
  }
  const check = checkPrint(state.record.boards.cellMm, {
    horizontal: { nominalMm: barHorizontal.nominalMm, readingMm: barHorizontal.readingMm },
    vertical: { nominalMm: barVertical.nominalMm, readingMm: barVertical.readingMm },
    readingSdMm,
  });
  if (!check.ok) {
    return <Remarks remarks={[check.remark]} />;
  }
  return (
    <>
      <Notice
        kind="info"
        title={t("boards.scaleIs", {
          percent: formatPercent(check.scale, 2, locale),
          cell: showMeasured(check.cellMm, "length", 3),
        })}
      >
        <p>
          <Words
            text={t("boards.sureAt4m", {
              mm: showUncertainty(2 * farMm * check.relativeSd, "length", 1),
              far: farWords(units, locale),
            })}
          />
        </p>
      </Notice>
      <Remarks remarks={check.remarks} />
      <Button
        kind="bare"
        onClick={() =>
          session.update((record) =>
            withPrintSet(record, set.id, {
              barHorizontal: { ...barHorizontal, readingMm: null },
              barVertical: { ...barVertical, readingMm: null },
            }),
          )
        }
      >
        {t("boards.readAgain")}
      </Button>
    </>
  );
}

/** A name for the set; under it the shop keeps the set for its next jobs. */
function KeepSet(props: { readonly set: PrintSet; readonly onName: (name: string) => void }) {
  const { set, onName } = props;
  const { t, settings, changeSettings } = useApp();
  const [open, setOpen] = useState(set.name !== "");
  const name = set.name.trim();
  const { printSets } = settings;
  const kept = printSets.some((one) => one.name === name && samePrints(one, set));
  return (
    <details className="fold" open={open} onToggle={(event) => setOpen(event.currentTarget.open)}>
      <summary>
        <span>{t("prints.name")}</span>
      </summary>
      {open ? (
        <div className="fold-body form">
          <TextField
            label={t("prints.nameField")}
            hint={t("prints.nameHint")}
            value={set.name}
            testId="print-set-name"
            onChange={onName}
          />
          <div>
            <Button
              icon="save"
              disabled={name === "" || !isRead(set) || kept}
              onClick={() =>
                changeSettings({
                  printSets: [...printSets.filter((one) => one.name !== name), { ...set, name }],
                })
              }
            >
              {t(kept ? "prints.kept" : "prints.keep")}
            </Button>
          </div>
        </div>
      ) : null}
    </details>
  );
}
