import { useRef, useState } from "react";
import type { ArchiveProblem } from "../../archive/import-job.ts";
import { useApp } from "../../context/app-context.ts";
import type { Translate } from "../../i18n/translate.ts";
import { canShareFile, saveFile, shareFile } from "../../library/save-file.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { OpenFile } from "../../parts/OpenFile.tsx";
import { thumbs } from "../../photos/thumbs.ts";
import { inBackground } from "../../state/failures.ts";
import { noteBackup } from "../../store/jobs.ts";
import type { ListedJob } from "../../store/listings.ts";

/** What names a job's file. */
interface SavedJob {
  readonly id: string;
  readonly title: string;
  readonly createdAt: string;
  readonly car: { readonly description: string };
}

/** The job's file through the phone's share sheet; not shown where that takes no such file. */
function ShareButton(props: { readonly job: SavedJob; readonly onSaved: (at: string) => void }) {
  const { job, onSaved } = props;
  const { t } = useApp();
  const [problem, setProblem] = useState<string | null>(null);
  const [asked, setAsked] = useState(false);
  const ready = useRef<Blob | null>(null);
  const name = `${fileName(job)}.zip`;
  if (!canShareFile(name, "application/zip")) {
    return null;
  }
  const share = async () => {
    setProblem(null);
    try {
      const { exportJob } = await import("../../archive/export-job.ts");
      // A long job takes longer than the phone remembers the tap: a second tap shares at once.
      ready.current ??= (await exportJob(job.id)).blob;
      // Not for long: the job may be changed meanwhile.
      setTimeout(() => {
        ready.current = null;
      }, 30_000);
      if (await shareFile(name, ready.current, "application/zip")) {
        onSaved(new Date().toISOString());
        ready.current = null;
      }
    } catch (error) {
      setProblem(t("backup.failed", { reason: error instanceof Error ? error.message : "" }));
    }
  };
  return (
    <>
      <Button icon="share" onClick={() => setAsked(true)} data-testid="share-job">
        {t("share.file")}
      </Button>
      {asked ? (
        <Confirm
          title={t("share.askTitle")}
          action={t("share.go")}
          onConfirm={() => void share()}
          onClose={() => setAsked(false)}
        >
          <p>{t("share.ask")}</p>
        </Confirm>
      ) : null}
      {problem ? <Notice kind="error" title={problem} /> : null}
    </>
  );
}

/** Saves one job as a file. */
export function ExportButton(props: {
  readonly job: SavedJob;
  readonly now?: boolean;
  /** Called with the time of saving, to be noted in the record. */
  readonly onSaved: (at: string) => void;
}) {
  const { job, now, onSaved } = props;
  const { t } = useApp();
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  const save = async () => {
    setBusy(true);
    setProblem(null);
    try {
      const { exportJob } = await import("../../archive/export-job.ts");
      const { blob, missing } = await exportJob(job.id);
      saveFile(`${fileName(job)}.zip`, blob, "application/zip");
      setProblem(missing.length > 0 ? t("backup.missing", { names: missing.join(", ") }) : null);
      onSaved(new Date().toISOString());
    } catch (error) {
      setProblem(t("backup.failed", { reason: error instanceof Error ? error.message : "" }));
    } finally {
      setBusy(false);
    }
  };
  return (
    <>
      <Button
        icon="save"
        kind={now ? "now" : "plain"}
        disabled={busy}
        onClick={save}
        data-testid="export-job"
      >
        {t(busy ? "backup.saving" : "backup.save")}
      </Button>
      <ShareButton job={job} onSaved={onSaved} />
      {problem ? <Notice kind="error" title={problem} /> : null}
    </>
  );
}

function fileName(job: SavedJob): string {
  const words = [job.createdAt.slice(0, 10), job.title || job.car.description || "job"].join(" ");
  return words.replace(/[^\p{L}\p{N}.-]+/gu, "-").slice(0, 60);
}

/** Opens a saved job file as a new job. */
export function ImportButton({ onDone }: { readonly onDone: () => void }) {
  const { t } = useApp();
  const [problem, setProblem] = useState<string | null>(null);
  const open = async (file: File) => {
    setProblem(null);
    const { importJob } = await import("../../archive/import-job.ts");
    const outcome = await importJob(file, thumbs().fingerprint);
    if (outcome.ok) {
      const names = outcome.leftOut.join(", ");
      setProblem(names ? t("backup.leftOut", { names }) : null);
      onDone();
    } else {
      const reason = problemWords(outcome, t);
      setProblem(t("backup.unreadable", { name: file.name, reason }));
    }
  };
  return (
    <>
      <OpenFile
        accept=".zip,application/zip"
        label={t("backup.open")}
        onFile={open}
        testId="import-job"
      />
      {problem ? <Notice kind="error" title={problem} /> : null}
    </>
  );
}

const problemKeys = {
  "no zip": "backup.noZip",
  "cut off": "backup.cutOff",
  damaged: "backup.damaged",
  "too large": "backup.tooLarge",
  "photo differs": "backup.photoDiffers",
  "record differs": "backup.recordDiffers",
  "photos withheld": "backup.withheld",
  "no job": "backup.noJob",
  "newer version": "backup.newerVersion",
  "not readable": "backup.notReadable",
} as const satisfies Record<ArchiveProblem, string>;

/** Why a record cannot be read, with the field or version in brackets. */
export const problemWords = (
  { reason, detail }: { readonly reason: ArchiveProblem; readonly detail: string },
  t: Translate,
): string => `${t(problemKeys[reason])}${detail ? ` (${detail})` : ""}`;

const day = 86_400_000;

/**
 * Reminds of saving: some phone browsers delete what a site keeps after a week without use. Shown
 * for jobs changed since their last saving, once they are two days old.
 */
export function BackupLine(props: {
  readonly jobs: readonly ListedJob[];
  readonly onChange: () => void;
}) {
  const { jobs, onChange } = props;
  const { t } = useApp();
  const due = jobs.filter(
    (job) =>
      !job.invented &&
      Date.now() - Date.parse(job.createdAt) > 2 * day &&
      (job.backedUpAt === null || job.backedUpAt < job.updatedAt),
  );
  if (due.length === 0) {
    return null;
  }
  return (
    <Notice kind="info" title={t("backup.due", { count: due.length })}>
      <p>{t("backup.why")}</p>
      <ExportButton
        job={{ ...due[0], car: due[0] }}
        onSaved={(backedUpAt) => inBackground(noteBackup(due[0].id, backedUpAt).then(onChange))}
      />
    </Notice>
  );
}
