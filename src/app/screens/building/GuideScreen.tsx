import { guideWords } from "../../../boards/guide/all-words.ts";
import { useApp } from "../../context/app-context.ts";
import { guidePdf, printLanguage } from "../../library/prints.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Frame } from "../frame/Frame.tsx";
import { LeafletHead, LeafletSections } from "./Leaflet.tsx";

/** The field guide: the day's work, and what to do when something is wrong. */
export default function GuideScreen() {
  const { t, locale, settings } = useApp();
  const language = printLanguage(locale);
  const words = guideWords(language);
  return (
    <Frame title={words.title} back={{ href: "#/", label: t("jobs.title") }}>
      <div className="settings" data-testid="guide">
        <LeafletHead words={words} />
        <div className="button-row">
          <ButtonLink href={guidePdf[language][settings.paper]} icon="print" newTab>
            {t("building.openPdf")}
          </ButtonLink>
          <ButtonLink href="#/building" icon="info">
            {t("building.open")}
          </ButtonLink>
          <ButtonLink href="#/glossary" icon="info">
            {t("glossary.title")}
          </ButtonLink>
        </div>
        <LeafletSections words={words} />
      </div>
    </Frame>
  );
}
