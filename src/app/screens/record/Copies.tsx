import { useState } from "react";
import { useApp, useJob } from "../../context/app-context.ts";
import type { FaceBox } from "../../faces/face-worker.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { hand } from "../../record/hand-over.ts";
import { photoBytes } from "../../store/photos.ts";
import type { PhotoRecord } from "../../store/schema.ts";
import { boardsIn, zipOfCopies } from "./copy-files.ts";
import { type Covered, PhotoToCopy } from "./PhotoToCopy.tsx";

/** A photo that is about to leave, with what is covered in it. */
interface Shown {
  readonly photo: PhotoRecord;
  readonly picture: Blob;
  readonly covered: readonly Covered[];
}

/**
 * Copies of photos for somebody else: faces are found on this device and covered, everything else is
 * the user's to brush over; every photo is shown before it leaves. The job keeps its photos as they
 * are, and measures them only.
 */
export function Copies() {
  const { t } = useApp();
  const { state } = useJob();
  const [shown, setShown] = useState<readonly Shown[] | null>(null);
  const [share, setShare] = useState<number | null>(null);
  const [problem, setProblem] = useState<string | null>(null);
  const photos = state.photos.filter(
    ({ purpose, removed }) => !removed && (purpose === "boards" || purpose === "note"),
  );
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
  const look = () =>
    run(async () => {
      const { findFaces } = await import("../../faces/find-faces.ts");
      setShare(0);
      const found: Shown[] = [];
      for (const [done, photo] of photos.entries()) {
        const picture = await photoBytes(photo.id);
        if (picture) {
          const covered: FaceBox[] = await findFaces(picture);
          found.push({ photo, picture, covered });
        }
        setShare((done + 1) / photos.length);
      }
      setShown(found);
    });
  const save = (boardsOnly: boolean) =>
    run(async () => {
      const items = (shown ?? []).map(({ photo, picture, covered }) => ({
        name: photo.name,
        picture,
        plan: { covered, boards: boardsIn(state, photo), boardsOnly },
      }));
      await hand(await zipOfCopies(items, setShare));
    });
  const change = (id: string) => (covered: readonly Covered[]) =>
    setShown((items) =>
      (items ?? []).map((item) => (item.photo.id === id ? { ...item, covered } : item)),
    );
  return (
    <>
      <p>{t("copies.explain")}</p>
      {problem ? <Notice kind="error" title={problem} /> : null}
      {share !== null ? <Progress label={t("copies.working")} share={share} /> : null}
      {shown ? (
        <>
          <p>{t("copies.look")}</p>
          <ul className="plain-list" data-testid="copies">
            {shown.map(({ photo, picture, covered }) => (
              <li key={photo.id} data-faces={covered.length}>
                <PhotoToCopy
                  name={photo.name}
                  picture={picture}
                  covered={covered}
                  onChange={change(photo.id)}
                />
              </li>
            ))}
          </ul>
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
          disabled={share !== null || photos.length === 0}
          onClick={look}
          data-testid="copies-begin"
        >
          {t("copies.begin")}
        </Button>
      )}
    </>
  );
}
