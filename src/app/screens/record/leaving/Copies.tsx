import { useState } from "react";
import { useApp, useJob } from "../../../context/app-context.ts";
import { Button } from "../../../parts/Button.tsx";
import { Notice } from "../../../parts/Notice.tsx";
import { Progress } from "../../../parts/Progress.tsx";
import { hand } from "../../../record/hand-over.ts";
import { boardsIn, zipOfCopies } from "./copy-files.ts";
import { LookAtPhotos } from "./LookAtPhotos.tsx";
import { useCovering } from "./use-covering.ts";

/**
 * Copies of photos for somebody else: faces are found on this device and covered, everything else is
 * the user's to brush over; every photo is shown before it leaves. The job keeps its photos as they
 * are, and measures them only.
 */
export function Copies() {
  const { t } = useApp();
  const { state } = useJob();
  const [share, setShare] = useState<number | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const photos = state.photos.filter(({ purpose, removed }) => !removed && purpose !== "sheet");
  const covering = useCovering(photos);
  const run = async (work: () => Promise<void>) => {
    setProblem(null);
    try {
      await work();
    } catch (error) {
      setProblem(t("copies.failed", { reason: error instanceof Error ? error.message : "" }));
    } finally {
      setShare(null);
    }
  };
  const save = (boardsOnly: boolean) =>
    run(async () => {
      await covering.keep();
      const items = (covering.shown ?? []).flatMap(({ id, name, picture, covered }) => {
        const photo = photos.find((one) => one.id === id);
        const boards = photo ? boardsIn(state, photo) : [];
        return [{ name, picture, plan: { covered, boards, boardsOnly } }];
      });
      await hand(await zipOfCopies(items, setShare));
    });
  const busy = covering.share ?? share;
  return (
    <>
      <p>{t("copies.explain")}</p>
      {problem ? <Notice kind="error" title={problem} /> : null}
      {busy !== null ? <Progress label={t("copies.working")} share={busy} /> : null}
      {covering.shown ? (
        <>
          <LookAtPhotos shown={covering.shown} onChange={covering.change} />
          <div className="button-row">
            <Button icon="save" onClick={() => save(false)} data-testid="save-copies">
              {t("copies.save")}
            </Button>
            <Button icon="save" onClick={() => save(true)} data-testid="save-boards">
              {t("copies.boardsOnly")}
            </Button>
          </div>
        </>
      ) : (
        <Button
          disabled={busy !== null || photos.length === 0}
          onClick={() => run(covering.look)}
          data-testid="copies-begin"
        >
          {t("copies.begin")}
        </Button>
      )}
    </>
  );
}
