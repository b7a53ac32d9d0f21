import { useEffect, useState } from "react";
import type { BackupContent, BackupProblem } from "../../archive/read-backup.ts";
import type { RestorePlan } from "../../archive/restore-plan.ts";
import { useApp } from "../../context/app-context.ts";
import type { Translate } from "../../i18n/translate.ts";
import { saveFile } from "../../library/save-file.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { OpenFile } from "../../parts/OpenFile.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { inBackground } from "../../state/failures.ts";
import { lastBackup } from "../../store/backups.ts";
import type { JobRecord } from "../../store/database/schema.ts";
import { loadSettings } from "../../store/settings.ts";
import { fileForBackup } from "./file-for-backup.ts";
import { Wipe } from "./Wipe.tsx";

interface Said {
  readonly kind: "info" | "error";
  readonly title: string;
}

/** Backup and restore of everything in one go, moving to another phone, and deleting for good. */
export function BackupOfAll() {
  const { t, when } = useApp();
  const [last, setLast] = useState<string | null>(null);
  const [working, setWorking] = useState<{ words: string; share: number } | null>(null);
  const [said, setSaid] = useState<readonly Said[]>([]);
  useEffect(() => {
    inBackground(lastBackup().then((found) => setLast(found?.at ?? null)));
  }, []);
  const make = async () => {
    setSaid([]);
    try {
      const now = new Date().toISOString();
      const name = `plumbshot-backup-${now.slice(0, 10)}.zip`;
      const to = await fileForBackup(name);
      if (to === "given up") {
        return;
      }
      const { noteBackupOfAll, writeBackup } = await import("../../archive/write-backup.ts");
      const made = await writeBackup(
        now,
        (share) => setWorking({ words: t("keep.making"), share }),
        to,
      );
      if (made.blob) {
        saveFile(name, made.blob, "application/zip");
      }
      await noteBackupOfAll(now);
      setLast(now);
      const { jobs, photos, records, missing } = made;
      setSaid([
        { kind: "info", title: t("keep.made", { jobs, photos, records }) },
        ...(missing.length > 0
          ? [{ kind: "error", title: t("keep.missing", { names: missing.join(", ") }) } as const]
          : []),
      ]);
    } catch (error) {
      const reason = error instanceof Error ? error.message : "";
      setSaid([{ kind: "error", title: t("keep.failed", { reason }) }]);
    } finally {
      setWorking(null);
    }
  };
  return (
    <Panel title={t("keep.title")} testId="backup">
      <p>{t("keep.explain")}</p>
      <p className="quiet" data-testid="last-backup">
        {last ? t("keep.last", { when: when(last) }) : t("keep.never")}
      </p>
      {working ? <Progress label={working.words} share={working.share} /> : null}
      {said.map(({ kind, title }) => (
        <Notice key={title} kind={kind} title={title} testId="backup-said" />
      ))}
      <div className="button-row">
        <Button icon="save" disabled={working !== null} onClick={make} data-testid="backup-all">
          {t("keep.make")}
        </Button>
        <Restore onWorking={setWorking} onSaid={setSaid} />
      </div>
      <h3>{t("keep.moveTitle")}</h3>
      <p>{t("keep.moveExplain")}</p>
      <Wipe />
    </Panel>
  );
}

function Restore(props: {
  readonly onWorking: (working: { words: string; share: number } | null) => void;
  readonly onSaid: (said: readonly Said[]) => void;
}) {
  const { onWorking, onSaid } = props;
  const { t, when, changeSettings } = useApp();
  const [ready, setReady] = useState<{ content: BackupContent; plan: RestorePlan } | null>(null);
  const refuse = (name: string, problem: BackupProblem | "job open", detail: string) => {
    const reason = problemWords(problem, detail, t);
    onSaid([{ kind: "error", title: t("keep.refused", { name, reason }) }]);
  };
  const open = async (file: File) => {
    onSaid([]);
    const { readBackup } = await import("../../archive/read-backup.ts");
    const { planRestore } = await import("../../archive/restore-plan.ts");
    const { isAnyJobOpen } = await import("../../archive/restore-backup.ts");
    if (await isAnyJobOpen()) {
      refuse(file.name, "job open", "");
      return;
    }
    try {
      const read = await readBackup(file, (share) =>
        onWorking({ words: t("keep.reading"), share }),
      );
      if (read.ok) {
        setReady({ content: read.content, plan: await planRestore(read.content) });
      } else {
        refuse(file.name, read.problem, read.detail);
      }
    } finally {
      onWorking(null);
    }
  };
  const take = async ({ content, plan }: NonNullable<typeof ready>) => {
    const { restoreBackup } = await import("../../archive/restore-backup.ts");
    await restoreBackup(content, plan);
    changeSettings(await loadSettings());
    onSaid([{ kind: "info", title: t("keep.restored") }]);
  };
  return (
    <>
      <OpenFile
        accept=".zip,application/zip"
        label={t("keep.restore")}
        onFile={open}
        testId="restore-all"
      />
      {ready ? (
        <Confirm
          title={t("keep.restoreAsk", { when: when(ready.content.madeAt) })}
          action={t("keep.restoreAction")}
          onConfirm={() => inBackground(take(ready))}
          onClose={() => setReady(null)}
        >
          <Planned plan={ready.plan} />
        </Confirm>
      ) : null}
    </>
  );
}

const problemWords = (problem: BackupProblem | "job open", detail: string, t: Translate): string =>
  t(`keep.problem.${problem}`, { detail });

/** What taking the backup in would do, before it does it. */
function Planned({ plan }: { readonly plan: RestorePlan }) {
  const { t } = useApp();
  const names = (records: readonly JobRecord[]) =>
    records
      .map(({ title, car }) => title || car.description || car.plate || t("jobs.untitled"))
      .join(", ");
  const { added, replaced, kept, leftDeleted, entries } = plan;
  return (
    <ul data-testid="restore-plan">
      <li>{t("keep.restoreAdds", { count: added.length })}</li>
      {replaced.length > 0 ? (
        <li>{t("keep.restoreReplaces", { names: names(replaced.map(({ record }) => record)) })}</li>
      ) : null}
      {kept.length > 0 ? <li>{t("keep.restoreKeeps", { names: names(kept) })}</li> : null}
      {leftDeleted.length > 0 ? (
        <li>{t("keep.restoreDeleted", { names: names(leftDeleted) })}</li>
      ) : null}
      <li>{t("keep.restoreRecords", { count: entries.length })}</li>
      <li>{t("keep.restoreSettings")}</li>
    </ul>
  );
}
