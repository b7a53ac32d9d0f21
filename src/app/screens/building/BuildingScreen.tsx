import { buildingWords } from "../../../boards/building/all-words.ts";
import { drawingOf } from "../../../boards/building/drawings.ts";
import { useApp } from "../../context/app-context.ts";
import { MarksDrawing } from "../../drawing/MarksDrawing.tsx";
import { buildingPdf, kitPdf, printLanguage } from "../../library/prints.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Frame } from "../frame/Frame.tsx";

/** Wheel plates, floor boards, stand boards and length bar: how a shop builds them. */
export default function BuildingScreen() {
  const { t, locale, settings } = useApp();
  const language = printLanguage(locale);
  const words = buildingWords[language];
  return (
    <Frame title={words.title} back={{ href: "#/", label: t("jobs.title") }}>
      <div className="settings">
        <h1>{words.title}</h1>
        <p>{words.intro}</p>
        <Notice kind="warning" title={words.caution} />
        <div className="button-row">
          <ButtonLink href={buildingPdf[language][settings.paper]} icon="print" newTab>
            {t("building.openPdf")}
          </ButtonLink>
          <ButtonLink href={kitPdf[language][settings.paper]} icon="print" newTab>
            {t("boards.openKit")}
          </ButtonLink>
        </div>
        {words.sections.map((section) => (
          <Panel key={section.title} title={section.title}>
            {section.drawing ? (
              <section
                className="marks-scroll"
                // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key
                tabIndex={0}
                aria-label={`${section.title}. ${t("drawing.scroll")}`}
              >
                <MarksDrawing drawing={drawingOf(section.drawing, words)} name={section.title} />
              </section>
            ) : null}
            {section.paragraphs.map((paragraph) => (
              <p key={paragraph}>{paragraph}</p>
            ))}
            {section.parts ? (
              <table className="parts">
                <caption>{words.partsTitle}</caption>
                <tbody>
                  {section.parts.map(([letter, what, count]) => (
                    <tr key={`${letter}${what}`}>
                      <th scope="row">{letter === "" ? "–" : letter}</th>
                      <td>{what}</td>
                      <td className="number">{count}</td>
                    </tr>
                  ))}
                </tbody>
              </table>
            ) : null}
          </Panel>
        ))}
      </div>
    </Frame>
  );
}
