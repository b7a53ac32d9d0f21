import { buildingWords } from "../../../boards/building/all-words.ts";
import { useApp } from "../../context/app-context.ts";
import { buildingPdf, kitPdf, printLanguage } from "../../library/prints.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Frame } from "../frame/Frame.tsx";
import { LeafletHead, LeafletSections } from "./Leaflet.tsx";

/** Wheel plates, floor boards, stand boards and length bar: how a shop builds them. */
export default function BuildingScreen() {
  const { t, locale, settings } = useApp();
  const language = printLanguage(locale);
  const words = buildingWords[language];
  return (
    <Frame title={words.title} back={{ href: "#/", label: t("jobs.title") }}>
      <div className="settings">
        <LeafletHead words={words} />
        <div className="button-row">
          <ButtonLink href={buildingPdf[language][settings.paper]} icon="print" newTab>
            {t("building.openPdf")}
          </ButtonLink>
          <ButtonLink href={kitPdf[language][settings.paper]} icon="print" newTab>
            {t("boards.openKit")}
          </ButtonLink>
          <ButtonLink href="#/guide" icon="info">
            {t("guide.open")}
          </ButtonLink>
        </div>
        <LeafletSections words={words} />
      </div>
    </Frame>
  );
}
