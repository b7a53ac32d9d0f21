import { drawingOf } from "../../../boards/building/drawings.ts";
import type { BuildingWords } from "../../../boards/building/words.ts";
import { useApp } from "../../context/app-context.ts";
import { MarksDrawing } from "../../drawing/MarksDrawing.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";

/** The printed pages on the screen: the same words and drawings, one panel for each section. */
export function LeafletHead({ words }: { readonly words: BuildingWords }) {
  return (
    <>
      <h1>{words.title}</h1>
      <p>{words.intro}</p>
      <Notice kind="warning" title={words.caution} />
    </>
  );
}

export function LeafletSections({ words }: { readonly words: BuildingWords }) {
  const { t } = useApp();
  return words.sections.map((section) => (
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
      {section.pairs ? (
        <dl className="symptoms">
          {section.pairs.map(([seen, what]) => (
            <div key={seen}>
              <dt>{seen}</dt>
              <dd>{what}</dd>
            </div>
          ))}
        </dl>
      ) : null}
      {section.parts ? (
        <table className="parts">
          <caption>{section.partsTitle ?? words.partsTitle}</caption>
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
  ));
}
