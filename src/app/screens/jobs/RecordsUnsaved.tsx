import { useEffect, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { inBackground } from "../../state/failures.ts";
import { unsavedRevisions } from "../../store/backups.ts";
import type { RevisionEntry } from "../../store/database/revision-entry.ts";

const dayMs = 86_400_000;

/** A record may be this many days old before it is spoken of: a shop backs up once or twice a week. */
const patienceDays = 3;

/** Says that closed records are on this device only, once the oldest is some days old. */
export function RecordsUnsaved({ now = Date.now() }: { readonly now?: number }) {
  const { t } = useApp();
  const [unsaved, setUnsaved] = useState<readonly RevisionEntry[]>([]);
  useEffect(() => {
    inBackground(unsavedRevisions().then(setUnsaved));
  }, []);
  const [oldest] = unsaved;
  const days = oldest ? Math.floor((now - Date.parse(oldest.closedAt)) / dayMs) : 0;
  if (days < patienceDays) {
    return null;
  }
  return (
    <Notice
      kind="warning"
      title={t("keep.due", { count: unsaved.length, days })}
      testId="records-unsaved"
    >
      <p>{t("keep.dueWhy")}</p>
      <ButtonLink href="#/settings" icon="save">
        {t("keep.go")}
      </ButtonLink>
    </Notice>
  );
}
