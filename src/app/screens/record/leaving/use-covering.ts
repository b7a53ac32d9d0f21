import { useState } from "react";
import { shownPhoto } from "../../../photos/shown-photo.ts";
import { type Covered, loadCovers, saveCovers } from "../../../store/records/covers.ts";

/** A photo that is about to leave, with what is covered in it. */
export interface PhotoToLookAt {
  readonly id: string;
  readonly name: string;
  readonly picture: Blob;
  readonly covered: readonly Covered[];
}

/**
 * Photos on their way out: faces are looked for in those that nobody has looked at, then all are shown;
 * what was covered is kept for the next time.
 */
export function useCovering(photos: readonly { readonly id: string; readonly name: string }[]) {
  const [shown, setShown] = useState<readonly PhotoToLookAt[] | null>(null);
  /** Share of the photos that were searched; null while nothing is searched. */
  const [share, setShare] = useState<number | null>(null);
  const look = async () => {
    setShare(0);
    try {
      const covers = await loadCovers(photos.map(({ id }) => id));
      const { findFaces } = await import("../../../faces/find-faces.ts");
      const found: PhotoToLookAt[] = [];
      for (const [done, { id, name }] of photos.entries()) {
        const picture = await shownPhoto(id);
        if (picture) {
          const covered = covers.get(id)?.covered ?? (await findFaces(picture));
          found.push({ id, name, picture, covered });
        }
        setShare((done + 1) / photos.length);
      }
      setShown(found);
    } finally {
      setShare(null);
    }
  };
  const change = (id: string, covered: readonly Covered[]) =>
    setShown((items) =>
      (items ?? []).map((item) => (item.id === id ? { ...item, covered } : item)),
    );
  /** Notes that all of them were looked at. */
  const keep = () =>
    saveCovers(
      new Map((shown ?? []).map(({ id, covered }) => [id, covered])),
      new Date().toISOString(),
    );
  return { shown, share, look, change, keep };
}
