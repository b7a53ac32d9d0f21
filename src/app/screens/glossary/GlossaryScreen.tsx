import { useApp } from "../../context/app-context.ts";
import { terms } from "../../parts/glossary.ts";
import { TermPicture } from "../../parts/TermPicture.tsx";
import { TermText } from "../../parts/Words.tsx";
import { Frame } from "../frame/Frame.tsx";

/** Every word that is explained, in the order of the alphabet. */
export default function GlossaryScreen() {
  const { t, locale } = useApp();
  const sorted = [...terms].sort((a, b) => t(`term.${a}`).localeCompare(t(`term.${b}`), locale));
  return (
    <Frame title={t("glossary.title")} back={{ href: "#/", label: t("jobs.title") }}>
      <div className="settings">
        <h1>{t("glossary.title")}</h1>
        <p>{t("glossary.intro")}</p>
        <dl className="glossary">
          {sorted.map((term) => (
            <div key={term}>
              <dt>{t(`term.${term}`)}</dt>
              <dd>
                <TermPicture term={term} />
                <TermText term={term} />
              </dd>
            </div>
          ))}
        </dl>
      </div>
    </Frame>
  );
}
