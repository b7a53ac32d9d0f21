import { useCallback, useEffect, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { go, stageHref } from "../../context/routes.ts";
import { withAcceptance } from "../../library/acceptance.ts";
import { takeOver } from "../../library/carry-over.ts";
import { openDemoJob } from "../../library/demo.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { TextField } from "../../parts/fields/Fields.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { storesJobs } from "../../pwa/browser-needs.ts";
import { type JobList, listJobs } from "../../session/job-list.ts";
import { loadAcceptance } from "../../store/acceptance.ts";
import { loadJob, saveJob } from "../../store/jobs.ts";
import { type ListedJob, notMeasured } from "../../store/listings.ts";
import { newJob } from "../../store/new-job.ts";
import { listProfiles } from "../../store/profiles.ts";
import { Frame } from "../frame/Frame.tsx";
import { BackupLine, ImportButton, problemWords } from "./Backup.tsx";
import { HowItWorks } from "./HowItWorks.tsx";
import { JobLines } from "./JobLines.tsx";
import { RecordsUnsaved } from "./RecordsUnsaved.tsx";
import { StorageLow } from "./StorageLow.tsx";

export function JobsScreen() {
  const { t, sayExample, settings, engine } = useApp();
  const [list, setList] = useState<JobList | null>(null);
  const [search, setSearch] = useState("");
  const [demo, setDemo] = useState<number | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const reload = useCallback(() => {
    // A browser that stores nothing is told of above.
    listJobs(engine.version).then(setList, async (error) => {
      setProblem((await storesJobs()) ? String(error) : null);
    });
  }, [engine]);
  useEffect(reload, [reload]);

  const begin = async () => {
    const fresh = newJob(settings, new Date().toISOString());
    const profiles = await listProfiles();
    const listed = (await listJobs(engine.version)).jobs.find(({ invented }) => !invented);
    const last = listed ? await loadJob(listed.id) : null;
    const taken = takeOver(
      fresh,
      last ?? undefined,
      profiles.map(({ id }) => id),
    );
    const job = withAcceptance(taken, await loadAcceptance());
    await saveJob(job, notMeasured);
    go(stageHref(job.id, "car"));
  };
  const runDemo = async () => {
    setDemo(0);
    engine.prepare(() => {}, "sheet").catch(() => {});
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
          <ButtonLink href="#/records" icon="open" testId="records-link">
            {t("recall.title")}
          </ButtonLink>
          <ButtonLink href="#/shop" icon="share" testId="shop-link">
            {t("store.title")}
          </ButtonLink>
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
            <RecordsUnsaved />
            <BackupLine jobs={list.jobs} onChange={reload} />
            <JobLines jobs={shown} onChange={reload} />
            {shown.length === 0 ? <p className="quiet">{t("jobs.noneFound", { search })}</p> : null}
          </>
        ) : null}
      </div>
    </Frame>
  );
}

/** All words of the search must occur somewhere in what identifies the job. */
function matches(job: ListedJob, search: string): boolean {
  const text = [
    job.title,
    job.description,
    job.plate,
    job.vin,
    job.customer,
    job.technician,
    job.createdAt.slice(0, 10),
  ]
    .join(" ")
    .toLowerCase();
  return search
    .toLowerCase()
    .split(/\s+/)
    .every((word) => text.includes(word));
}
