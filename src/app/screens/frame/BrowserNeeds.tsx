import { useEffect, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { Notice } from "../../parts/Notice.tsx";
import { hasVectors, storesJobs } from "../../pwa/browser-needs.ts";
import { inBackground } from "../../state/failures.ts";

/** What this browser lacks, said before somebody has done half a job in it. */
export function BrowserNeeds() {
  const { t } = useApp();
  const [stores, setStores] = useState(true);
  useEffect(() => {
    inBackground(storesJobs().then(setStores));
  }, []);
  return (
    <div className="needs">
      {hasVectors() ? null : (
        <Notice kind="error" title={t("needs.vectors")} testId="needs-vectors">
          <p>{t("needs.vectorsExplain")}</p>
        </Notice>
      )}
      {stores ? null : (
        <Notice kind="error" title={t("needs.storage")} testId="needs-storage">
          <p>{t("needs.storageExplain")}</p>
        </Notice>
      )}
    </div>
  );
}
