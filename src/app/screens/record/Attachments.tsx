import { useState } from "react";
import { attachmentKinds } from "../../../record/revision.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { OpenFile } from "../../parts/OpenFile.tsx";
import { uniqueName } from "../../photos/add-photos.ts";
import { newId } from "../../store/database/database.ts";
import type { Attachment } from "../../store/database/schema.ts";
import { saveAttachment } from "../../store/records/revisions.ts";

/** A report of a scan tool is a few pages; more than this belongs somewhere else. */
const mostBytes = 50e6;

/** Files that belong to the record as they are: scan reports, pages of the procedure. */
export function Attachments() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { attachments } = state.record.record;
  const [problem, setProblem] = useState<string | null>(null);
  const change = (next: readonly Attachment[]) =>
    session.update((job) => ({ ...job, record: { ...job.record, attachments: [...next] } }));
  const add = (kind: Attachment["kind"]) => async (file: File) => {
    setProblem(null);
    if (file.size > mostBytes || file.size === 0) {
      setProblem(t(file.size === 0 ? "attach.empty" : "attach.tooLarge", { name: file.name }));
      return;
    }
    const id = newId();
    const name = uniqueName(file.name, new Set(attachments.map((item) => item.name)));
    await saveAttachment(id, file, name);
    const addedAt = new Date().toISOString();
    const item = { id, name, kind, type: file.type, byteLength: file.size, addedAt };
    change([...attachments, item]);
  };
  return (
    <div className="form">
      <p className="quiet small">{t("attach.explain")}</p>
      {problem ? <Notice kind="error" title={problem} /> : null}
      <ul className="plain-list">
        {attachments.map((item) => (
          <li key={item.id}>
            {item.name} · {t(`record.attached.${item.kind}`)}
            <Button
              kind="bare"
              icon="bin"
              aria-label={`${t("attach.remove")}: ${item.name}`}
              onClick={() => change(attachments.filter(({ id }) => id !== item.id))}
            />
          </li>
        ))}
      </ul>
      <div className="button-row">
        {attachmentKinds.map((kind) => (
          <OpenFile
            key={kind}
            accept=""
            label={t("attach.add", { kind: t(`record.attached.${kind}`) })}
            onFile={add(kind)}
            testId={`attach-${kind.replace(" ", "-")}`}
          />
        ))}
      </div>
    </div>
  );
}
