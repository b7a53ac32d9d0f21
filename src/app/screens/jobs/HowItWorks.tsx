import { useApp } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Balloon } from "../../parts/icons/Balloon.tsx";
import { Words } from "../../parts/Words.tsx";

const lessons: readonly { readonly title: TextKey; readonly text: TextKey }[] = [
  { title: "teach.print", text: "teach.printText" },
  { title: "teach.lay", text: "teach.layText" },
  { title: "teach.shoot", text: "teach.shootText" },
  { title: "teach.read", text: "teach.readText" },
];

/** The empty state: what the tool does, in four steps and one picture. */
export function HowItWorks() {
  const { t, show } = useApp();
  return (
    <div className="teach">
      <p className="teach-lead">{t("teach.lead")}</p>
      <Sketch />
      <ol className="teach-steps">
        {lessons.map((lesson, index) => (
          <li key={lesson.title}>
            <Balloon number={index + 1} state="open" />
            <div>
              <h2>{t(lesson.title)}</h2>
              <p>
                <Words text={t(lesson.text, { amount: show(23, "length", 0) })} />
              </p>
            </div>
          </li>
        ))}
      </ol>
      <ButtonLink href="#/guide" icon="info">
        {t("guide.open")}
      </ButtonLink>
      <ButtonLink href="#/building" icon="info">
        {t("building.open")}
      </ButtonLink>
      <p className="small quiet">{t("teach.caution")}</p>
    </div>
  );
}

/** Car from above, its lines and a target ahead: the same signs as in the real drawings. */
function Sketch() {
  const { t } = useApp();
  return (
    <svg
      className="drawing teach-sketch"
      viewBox="0 0 360 150"
      role="img"
      aria-label={t("teach.sketch")}
    >
      <path
        className="phantom"
        d="M20 45q0-10 12-12l40-4h90l34 8q12 4 12 16v44q0 12-12 16l-34 8H72l-40-4q-12-2-12-12z"
      />
      <path
        className="visible tyre"
        d="M48 24h34v11H48zM48 115h34v11H48zM150 24h34v11h-34zM150 115h34v11h-34z"
      />
      <path className="centre" d="M65 14v122M167 14v122M8 75h330" />
      <path className="thrust" d="M65 75 338 71" />
      <path
        className="board"
        d="M60 18h10v4H60zM60 128h10v4H60zM162 18h10v4h-10zM162 128h10v4h-10z"
      />
      <path
        className="board"
        d="M230 38l9 2-2 9-9-2zM262 104l9-1 1 9-9 1zM215 112l9 2-2 9-9-2zM290 30l9 1-1 9-9-1z"
      />
      <path className="required-target" d="M318 45v60" />
      <path className="measured-target" d="M324 42l-5 60" />
      <path className="fine" d="M167 140H318M167 136v8M318 136v8" />
    </svg>
  );
}
