import { type CSSProperties, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { jobHref } from "../../context/routes.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { inBackground } from "../../state/failures.ts";
import { deleteJob } from "../../store/jobs.ts";
import { type ListedJob, type ListedVerdict, listedTitle } from "../../store/listings.ts";

const verdictTexts = {
  "all meet": "outcome.allMeet",
  "some miss": "outcome.someMiss",
  "not proven": "outcome.notProven",
  "to be measured again": "outcome.again",
  "not measured": "outcome.open",
} as const satisfies Record<ListedVerdict, TextKey>;

interface JobLineProps {
  readonly job: ListedJob;
  /** Its place among all jobs, for those who hear the list. */
  readonly place: { readonly number: number; readonly of: number };
  readonly style?: CSSProperties;
  readonly lineRef?: (line: HTMLLIElement | null) => void;
  readonly onChange: () => void;
}

/** One job of the list. */
export function JobLine({ job, place, style, lineRef, onChange }: JobLineProps) {
  const { t, when } = useApp();
  const [asking, setAsking] = useState(false);
  const title = listedTitle(job, t("jobs.untitled"));
  return (
    <li
      className="job-line"
      style={style}
      ref={lineRef}
      data-index={place.number - 1}
      aria-setsize={place.of}
      aria-posinset={place.number}
    >
      <a href={jobHref(job.id)}>
        <span className="job-line-title">{title}</span>
        <span className="quiet small">
          {[job.plate, when(job.updatedAt), job.invented ? t("jobs.invented") : ""]
            .filter(Boolean)
            .join(" · ")}
        </span>
        <span className="job-line-outcome">{t(verdictTexts[job.verdict])}</span>
      </a>
      <Button
        kind="bare"
        icon="bin"
        aria-label={`${t("jobs.delete")}: ${title}`}
        onClick={() => setAsking(true)}
      />
      {asking ? (
        <Confirm
          title={t("jobs.deleteAsk", { title })}
          action={t("jobs.delete")}
          onConfirm={() => inBackground(deleteJob(job.id).then(onChange))}
          onClose={() => setAsking(false)}
        >
          <p>{t("jobs.deleteExplain")}</p>
        </Confirm>
      ) : null}
    </li>
  );
}
