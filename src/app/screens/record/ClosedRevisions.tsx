import { useState } from "react";
import { useApp, useJob } from "../../context/app-context.ts";
import { outcomeWord } from "../../paper/summary.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { csvOfRevisions, hand, pdfOfRevision, recordArchive } from "../../record/hand-over.ts";
import type { RevisionEntry } from "../../store/revision-entry.ts";
import { VerifyArchive } from "./VerifyArchive.tsx";

/** The closed revisions of a job, each as a paper, and all of them as an archive or lines. */
export function ClosedRevisions() {
  const { t, locale } = useApp();
  const { state } = useJob();
  const { revisions } = state;
  const [busy, setBusy] = useState<string | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const app = useApp();
  const run = async (what: string, make: () => Promise<File>) => {
    setBusy(what);
    setProblem(null);
    try {
      await hand(await make());
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      setProblem(t("handOver.failed", { reason }));
    } finally {
      setBusy(null);
    }
  };
  if (revisions.length === 0) {
    return <p className="quiet">{t("handOver.none")}</p>;
  }
  return (
    <>
      <p>{t("handOver.explain")}</p>
      {problem ? <Notice kind="error" title={problem} /> : null}
      <ul className="plain-list" data-testid="revisions">
        {[...revisions].reverse().map((entry) => (
          <li key={entry.sha256}>
            <RevisionLine entry={entry} />
            <Button
              icon="print"
              disabled={busy !== null}
              onClick={() => run(entry.sha256, () => pdfOfRevision(entry, app))}
              data-testid="revision-pdf"
            >
              {t(busy === entry.sha256 ? "handOver.making" : "handOver.pdf")}
            </Button>
          </li>
        ))}
      </ul>
      <div className="button-row">
        <Button
          icon="save"
          disabled={busy !== null}
          onClick={() => run("archive", () => recordArchive(revisions))}
          data-testid="record-archive"
        >
          {t(busy === "archive" ? "handOver.making" : "handOver.archive")}
        </Button>
        <Button
          icon="save"
          disabled={busy !== null}
          onClick={() => run("csv", () => csvOfRevisions(revisions, locale))}
          data-testid="record-csv"
        >
          {t("handOver.csv")}
        </Button>
        <VerifyArchive />
      </div>
    </>
  );
}

function RevisionLine({ entry }: { readonly entry: RevisionEntry }) {
  const { t, when } = useApp();
  const outcome = outcomeWord(entry.outcome === "none" ? null : entry.outcome, { t });
  return (
    <p>
      <strong>{t("handOver.revision", { number: entry.number })}</strong> · {when(entry.closedAt)} ·{" "}
      {outcome}
      <br />
      <span className="small quiet">{t("handOver.hash", { hash: entry.sha256.slice(0, 16) })}</span>
    </p>
  );
}
