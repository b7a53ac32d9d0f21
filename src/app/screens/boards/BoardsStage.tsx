import { lazy } from "react";
import { boardPageLayout, papers } from "../../../boards/pages/paper.ts";
import { checkPrint } from "../../../boards/print-check.ts";
import { barReadingSdMm, wayOfSd } from "../../../job/file/reading-ways.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import type { StageProps } from "../../context/routes.ts";
import { PlatesForm } from "../../forms/plates/PlatesForm.tsx";
import { farMm, farWords, formatPercent } from "../../i18n/units.ts";
import { kitPdf, largePdf, printLanguage } from "../../library/prints.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { ChoiceField } from "../../parts/fields/Fields.tsx";
import { HowSure } from "../../parts/fields/HowSure.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Notice, Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { TakenOver } from "../../parts/TakenOver.tsx";
import { Words } from "../../parts/Words.tsx";
import type { JobRecord } from "../../store/schema.ts";
import { LengthList } from "./LengthList.tsx";
import { StatementsForm } from "./StatementsForm.tsx";

type BoardsRecord = JobRecord["boards"];

const TeachTarget = lazy(() => import("../target/TeachTarget.tsx"));

export default function BoardsStage({ detail }: StageProps) {
  return detail === "teach" ? <TeachTarget /> : <Boards />;
}

function Boards() {
  const { t, settings, locale, changeSettings } = useApp();
  return (
    <>
      <Panel title={t("boards.print")}>
        <p>{t("boards.printExplain")}</p>
        <ChoiceField
          label={t("boards.paper")}
          value={settings.paper}
          choices={[
            { value: "a4", label: "A4" },
            { value: "letter", label: "US Letter" },
          ]}
          onChange={(paper) => changeSettings({ paper })}
        />
        <div className="button-row">
          <ButtonLink href={kitPdf[printLanguage(locale)][settings.paper]} icon="print" newTab>
            {t("boards.openKit")}
          </ButtonLink>
          <ButtonLink href={largePdf[printLanguage(locale)][settings.paper]} icon="print" newTab>
            {t("boards.openLarge")}
          </ButtonLink>
          <ButtonLink href="#/building" icon="info">
            {t("building.open")}
          </ButtonLink>
        </div>
        <RoleTable />
      </Panel>
      <Panel title={t("boards.check")}>
        <TakenOver part="prints" />
        <PrintCheck />
      </Panel>
      <Panel title={t("plates.title")}>
        <TakenOver part="plates" />
        <p>
          <Words text={t("plates.explain")} />
        </p>
        <PlatesForm />
      </Panel>
      <Panel title={t("boards.lengths")}>
        <TakenOver part="lengths" />
        <p>
          <Words text={t("boards.lengthsExplain")} />
        </p>
        <LengthList />
      </Panel>
      <details className="fold fold-panel">
        <summary>
          <span>{t("boards.statements")}</span>
        </summary>
        <div className="fold-body">
          <p className="quiet">{t("boards.statementsExplain")}</p>
          <StatementsForm />
        </div>
      </details>
    </>
  );
}

const roleRows = [
  { ids: "1 – 4", role: "role.wheel", place: "role.wheelPlace" },
  { ids: "11 – 29", role: "role.floor", place: "role.floorPlace" },
  { ids: "31 – 39", role: "role.stand", place: "role.standPlace" },
  { ids: "41 – 49", role: "role.pointer", place: "role.pointerPlace" },
  { ids: "51 – 58", role: "role.bar", place: "role.barPlace" },
] as const;

function RoleTable() {
  const { t } = useApp();
  return (
    <table className="roles">
      <caption className="only-heard">{t("boards.roles")}</caption>
      <tbody>
        {roleRows.map((row) => (
          <tr key={row.ids}>
            <th scope="row" className="number">
              {row.ids}
            </th>
            <td>
              <strong>
                <Words text={t(row.role)} />
              </strong>
              <br />
              <span className="quiet">
                <Words text={t(row.place)} />
              </span>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

/** The two bars, and what their readings do to the result. */
function PrintCheck() {
  const { t, settings, show, showStated, units, locale } = useApp();
  const { session, state } = useJob();
  const { boards } = state.record;
  const set = (change: Partial<BoardsRecord>) =>
    session.update((record) => ({ ...record, boards: { ...record.boards, ...change } }));
  const layout = boardPageLayout(papers[settings.paper === "a4" ? "A4" : "Letter"]);
  const across = designed(boards.barHorizontal, layout.horizontal.lengthMm);
  const up = designed(boards.barVertical, layout.vertical.lengthMm);
  return (
    <div className="form">
      <p>
        {t("boards.checkExplain", {
          across: showStated(across, "length"),
          up: showStated(up, "length"),
          off: show(farMm * 0.005, "length", 0),
          far: farWords(units, locale),
        })}
      </p>
      <div className="form-pair">
        <NumberField
          label={t("boards.across", { length: showStated(across, "length") })}
          value={boards.barHorizontal.readingMm}
          quantity="length"
          testId="bar-across"
          at="bars.across"
          onChange={(readingMm) => set({ barHorizontal: { nominalMm: across, readingMm } })}
        />
        <NumberField
          label={t("boards.up", { length: showStated(up, "length") })}
          value={boards.barVertical.readingMm}
          quantity="length"
          testId="bar-up"
          at="bars.up"
          onChange={(readingMm) => set({ barVertical: { nominalMm: up, readingMm } })}
        />
      </div>
      <HowSure
        label={t("boards.readingSd")}
        ways={["steel rule", "folding rule", "estimated"]}
        way={wayOfSd(barReadingSdMm, boards.readingSdMm)}
        sdMm={boards.readingSdMm}
        at="bars.sure"
        onWay={(way) => set({ readingSdMm: barReadingSdMm[way] })}
        onSd={(readingSdMm) => set({ readingSdMm })}
      />
      <PrintVerdict boards={boards} />
    </div>
  );
}

/** A reading made against another paper's bar keeps that bar; else the present paper's counts. */
const designed = (bar: BoardsRecord["barHorizontal"], ofPaper: number): number =>
  bar.readingMm === null ? ofPaper : bar.nominalMm;

function PrintVerdict({ boards }: { readonly boards: BoardsRecord }) {
  const { t, locale, units, showMeasured, showUncertainty } = useApp();
  const { session } = useJob();
  const { barHorizontal, barVertical, readingSdMm, cellMm } = boards;
  if (barHorizontal.readingMm === null || barVertical.readingMm === null) {
    return <Notice kind="warning" title={t("boards.unchecked")} />;
  }
  const check = checkPrint(cellMm, {
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
          session.update((record) => ({
            ...record,
            boards: {
              ...record.boards,
              barHorizontal: { ...barHorizontal, readingMm: null },
              barVertical: { ...barVertical, readingMm: null },
            },
          }))
        }
      >
        {t("boards.readAgain")}
      </Button>
    </>
  );
}
