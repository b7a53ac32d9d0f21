import { useState } from "react";
import { type AppContextValue, useApp, useJob } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Words } from "../../parts/Words.tsx";
import {
  csvOfRevisions,
  hand,
  pdfOfRevision,
  photosToLeave,
  recordArchive,
} from "../../record/hand-over.ts";
import type { LeavingPhoto, LeavingWay } from "../../record/leaving.ts";
import type { RevisionEntry } from "../../store/database/revision-entry.ts";
import { Leaving } from "./leaving/Leaving.tsx";
import { RevisionLine } from "./RevisionLine.tsx";
import { VerifyArchive } from "./VerifyArchive.tsx";

/** A file that the user is asked about before it is made. */
interface Asked {
  readonly what: "pdf" | "archive";
  readonly entry: RevisionEntry;
  readonly photos: readonly LeavingPhoto[];
}

const ways = {
  pdf: ["covered", "boards only", "none"],
  archive: ["covered", "boards only", "none", "originals"],
} as const satisfies Record<Asked["what"], readonly LeavingWay[]>;

/** The closed revisions of a job, each as a paper, and all of them as an archive or lines. */
export function ClosedRevisions() {
  const app = useApp();
  const { t, locale } = app;
  const { state } = useJob();
  const { revisions } = state;
  const [busy, setBusy] = useState(false);
  const [asked, setAsked] = useState<Asked | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const run = async (work: () => Promise<void>) => {
    setBusy(true);
    setProblem(null);
    try {
      await work();
    } catch (error) {
      const reason = error instanceof Error ? error.message : String(error);
      setProblem(t("handOver.failed", { reason }));
    } finally {
      setBusy(false);
    }
  };
  const ask = (what: Asked["what"], entries: readonly RevisionEntry[]) =>
    run(async () => {
      setAsked(null);
      const photos = new Map<string, LeavingPhoto>();
      for (const entry of entries) {
        for (const photo of await photosToLeave(entry)) {
          photos.set(photo.id, photo);
        }
      }
      setAsked({ what, entry: entries[entries.length - 1], photos: [...photos.values()] });
    });
  const make = ({ what, entry }: Asked, way: LeavingWay) =>
    run(async () => {
      await hand(await fileOf(what, entry, revisions, way, app));
      setAsked(null);
    });
  if (revisions.length === 0) {
    return (
      <p className="quiet">
        <Words text={t("handOver.none")} />
      </p>
    );
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
              disabled={busy}
              onClick={() => ask("pdf", [entry])}
              data-testid="revision-pdf"
            >
              {t("handOver.pdf")}
            </Button>
            {asked?.what === "pdf" && asked.entry === entry ? (
              <Leaving
                key={entry.sha256}
                ways={ways.pdf}
                start="covered"
                photos={asked.photos}
                action={t("handOver.makePdf")}
                busy={busy}
                onMake={(way) => make(asked, way)}
                onClose={() => setAsked(null)}
              />
            ) : null}
          </li>
        ))}
      </ul>
      <div className="button-row">
        <Button
          icon="save"
          disabled={busy}
          onClick={() => ask("archive", revisions)}
          data-testid="record-archive"
        >
          {t("handOver.archive")}
        </Button>
        <Button
          icon="save"
          disabled={busy}
          onClick={() => run(async () => hand(await csvOfRevisions(revisions, locale)))}
          data-testid="record-csv"
        >
          {t("handOver.csv")}
        </Button>
      </div>
      {asked?.what === "archive" ? (
        <Leaving
          key="archive"
          ways={ways.archive}
          start={null}
          photos={asked.photos}
          action={t("handOver.makeArchive")}
          busy={busy}
          onMake={(way) => make(asked, way)}
          onClose={() => setAsked(null)}
        />
      ) : null}
      <div className="button-row">
        <VerifyArchive />
      </div>
    </>
  );
}

const fileOf = (
  what: Asked["what"],
  entry: RevisionEntry,
  revisions: readonly RevisionEntry[],
  way: LeavingWay,
  app: AppContextValue,
): Promise<File> =>
  what === "pdf" && way !== "originals"
    ? pdfOfRevision(entry, app, way)
    : recordArchive(revisions, way);
