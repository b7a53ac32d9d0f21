import { lazy } from "react";
import { useApp } from "../../context/app-context.ts";
import type { StageProps } from "../../context/routes.ts";
import { PlatesForm } from "../../forms/plates/PlatesForm.tsx";
import { kitPdf, largePdf, printLanguage } from "../../library/prints.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { ChoiceField } from "../../parts/fields/Fields.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { TakenOver } from "../../parts/TakenOver.tsx";
import { Words } from "../../parts/Words.tsx";
import { LengthList } from "./LengthList.tsx";
import { PrintSets } from "./PrintSets.tsx";
import { StatementsForm } from "./StatementsForm.tsx";

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
        <PrintSets />
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
