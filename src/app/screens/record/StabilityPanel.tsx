import type { Result } from "../../../job/result/result.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { boardName } from "../../i18n/board-name.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Panel } from "../../parts/Panel.tsx";

const verdictKeys = {
  "nothing moved": "stability.nothing",
  moved: "stability.moved",
  "not proven": "stability.notProven",
} as const;

const stampOf = { "nothing moved": "meets", moved: "misses", "not proven": "not-proven" } as const;

/** Whether anything moved during the run, from the photos before and after it. */
export function StabilityPanel({ result }: { readonly result: Result }) {
  const { t, showMeasured, showUncertainty, say } = useApp();
  const { state } = useJob();
  const { stability } = result;
  if (!stability) {
    return (
      <Panel title={t("stability.title")}>
        <p className="quiet">{t("stability.none")}</p>
        <ButtonLink href={stageHref(state.record.id, "photos", "after")} icon="camera">
          {t("photos.addAfter")}
        </ButtonLink>
      </Panel>
    );
  }
  return (
    <Panel title={t("stability.title")} testId="stability">
      <p>
        <span className={`stamp stamp-${stampOf[stability.verdict]}`}>
          {t(verdictKeys[stability.verdict])}
        </span>
      </p>
      <p>{say(stability.said, stability.sentence)}</p>
      <dl className="facts">
        {stability.boards.map((board) => (
          <div key={board.key}>
            <dt>
              {boardName(Number.parseInt(board.key, 10), t)}
              {board.moved ? ` · ${t("stability.moved")}` : ""}
            </dt>
            <dd className="number">
              {showMeasured(board.shiftMm, "length", 1)} ±{" "}
              {showUncertainty(board.expandedMm, "length", 1)}
            </dd>
          </div>
        ))}
      </dl>
    </Panel>
  );
}
