import { useCallback, useEffect, useState } from "react";
import { useApp } from "../../app-context.ts";
import { storesJobs } from "../../browser-needs.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { TextField } from "../../parts/Fields.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { go, jobHref, stageHref } from "../../routes.ts";
import { openDemoJob } from "../../session/demo.ts";
import { type ListedVerdict, listedVerdict } from "../../session/listed-verdict.ts";
import { deleteJob, type JobList, listJobs, saveJob } from "../../store/jobs.ts";
import { newJob } from "../../store/new-job.ts";
import type { JobRecord } from "../../store/schema.ts";
import { Frame } from "../frame/Frame.tsx";
import { BackupLine, ImportButton, problemWords } from "./Backup.tsx";
import { HowItWorks } from "./HowItWorks.tsx";
import { StorageLow } from "./StorageLow.tsx";

export function JobsScreen() {
  const { t, sayExample, settings, engine } = useApp();
  const [list, setList] = useState<JobList | null>(null);
  const [search, setSearch] = useState("");
  const [demo, setDemo] = useState<number | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const reload = useCallback(() => {
    // A browser that stores nothing is told of above.
    listJobs().then(setList, async (error) => {
      setProblem((await storesJobs()) ? String(error) : null);
    });
  }, []);
  useEffect(reload, [reload]);

  const begin = async () => {
    const job = newJob(settings, new Date().toISOString());
    await saveJob(job);
    go(stageHref(job.id, "car"));
  };
  const runDemo = async () => {
    setDemo(0);
    engine.prepare(() => {}).catch(() => {});
    setProblem(null);
    try {
      const id = await openDemoJob(settings, sayExample, setDemo);
      go(stageHref(id, "placement"));
    } catch (error) {
      setDemo(null);
      const reason = error instanceof Error ? error.message : "";
      setProblem((await storesJobs()) ? t("demo.failed", { reason }) : null);
    }
  };
  const shown = (list?.jobs ?? []).filter((job) => matches(job, search));
  const empty = list !== null && list.jobs.length === 0;
  return (
    <Frame title="Plumbshot">
      <div className="jobs">
        <h1>{empty ? t("jobs.welcome") : t("jobs.title")}</h1>
        {problem ? <Notice kind="error" title={problem} /> : null}
        <div className="button-row">
          <Button kind="now" icon="plus" onClick={begin} data-testid="new-job">
            {t("jobs.new")}
          </Button>
          <Button icon="target" onClick={runDemo} disabled={demo !== null} data-testid="demo">
            {t("jobs.demo")}
          </Button>
          <ImportButton onDone={reload} />
        </div>
        {demo !== null ? <Progress label={t("demo.copying")} share={demo} /> : null}
        <StorageLow />
        {list?.unreadable.map((job) => (
          <Notice
            key={job.id}
            kind="warning"
            title={t("jobs.unreadable", { reason: problemWords(job, t) })}
          />
        ))}
        {empty ? <HowItWorks /> : null}
        {list && list.jobs.length > 0 ? (
          <>
            <TextField
              label={t("jobs.search")}
              type="search"
              value={search}
              onChange={setSearch}
              testId="search"
            />
            <BackupLine jobs={list.jobs} onChange={reload} />
            <ul className="job-list">
              {shown.map((job) => (
                <JobLine key={job.id} job={job} onChange={reload} />
              ))}
            </ul>
            {shown.length === 0 ? <p className="quiet">{t("jobs.noneFound", { search })}</p> : null}
          </>
        ) : null}
      </div>
    </Frame>
  );
}

/** All words of the search must occur somewhere in what identifies the job. */
function matches(job: JobRecord, search: string): boolean {
  const text = [
    job.title,
    job.car.description,
    job.car.plate,
    job.car.vin,
    job.car.customer,
    job.record.technician,
    job.createdAt.slice(0, 10),
  ]
    .join(" ")
    .toLowerCase();
  return search
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}

const verdictTexts = {
  "all meet": "outcome.allMeet",
  "some miss": "outcome.someMiss",
  "not proven": "outcome.notProven",
  "to be measured again": "outcome.again",
  "not measured": "outcome.open",
} as const satisfies Record<ListedVerdict, TextKey>;

function JobLine({ job, onChange }: { readonly job: JobRecord; readonly onChange: () => void }) {
  const { t, when, engine } = useApp();
  const [verdict, setVerdict] = useState<ListedVerdict>("not measured");
  const [asking, setAsking] = useState(false);
  useEffect(() => {
    listedVerdict(job, engine.version).then(setVerdict, () => setVerdict("not measured"));
  }, [job, engine]);
  const title = jobTitle(job, t("jobs.untitled"));
  return (
    <li className="job-line">
      <a href={jobHref(job.id)}>
        <span className="job-line-title">{title}</span>
        <span className="quiet small">
          {[job.car.plate, when(job.updatedAt), job.invented ? t("jobs.invented") : ""]
            .filter(Boolean)
            .join(" · ")}
        </span>
        <span className="job-line-outcome">{t(verdictTexts[verdict])}</span>
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
          onConfirm={() => void deleteJob(job.id).then(onChange)}
          onClose={() => setAsking(false)}
        >
          <p>{t("jobs.deleteExplain")}</p>
        </Confirm>
      ) : null}
    </li>
  );
}

export const jobTitle = (job: JobRecord, untitled: string): string =>
  job.title || job.car.description || job.car.plate || untitled;
