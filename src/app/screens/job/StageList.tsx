import { sameContent, useApp, useJobState } from "../../context/app-context.ts";
import { type Stage, stageHref } from "../../context/routes.ts";
import { nextStage, stageStatuses } from "../../context/stage-status.ts";
import { Balloon } from "../../parts/icons/Balloon.tsx";

/** The stages in order, each with what is done, missing or next. */
export function StageList({ current }: { readonly current: Stage | null }) {
  const { t } = useApp();
  const id = useJobState((state) => state.record.id);
  const statuses = useJobState(stageStatuses, sameContent);
  const next = useJobState(nextStage);
  return (
    <ol className="stage-list">
      {statuses.map((status, index) => {
        const isNext = status.stage === next;
        return (
          <li key={status.stage}>
            <a
              href={stageHref(id, status.stage)}
              aria-current={status.stage === current ? "page" : undefined}
              data-testid={`stage-${status.stage}`}
            >
              <Balloon number={index + 1} state={status.done ? "done" : isNext ? "next" : "open"} />
              <span className="stage-list-name">{t(`stage.${status.stage}`)}</span>
              <span className="stage-list-text">{t(status.text, status.parameters)}</span>
              <span className={`stage-list-word ${isNext ? "stage-list-next" : ""}`}>
                {status.done ? t("status.done") : isNext ? t("status.next") : ""}
              </span>
            </a>
          </li>
        );
      })}
    </ol>
  );
}
