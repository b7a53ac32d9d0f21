import { turnedShares } from "../../photo/exif/turn-of.ts";
import type { Revision } from "../../record/revision.ts";
import type { Sha256 } from "../../record/sha256.ts";
import type { CopyKind } from "../../record/withheld.ts";
import { shownPhoto } from "../photos/shown-photo.ts";
import { thumbs } from "../photos/thumbs.ts";
import type { RevisionEntry } from "../store/database/revision-entry.ts";
import { listPhotos } from "../store/photos.ts";
import { loadCovers } from "../store/records/covers.ts";

/** Photos that leave the device: only as copies with what somebody chose to cover. */

/** How photos go along. The originals go into an archive only, and only when asked for by name. */
export type LeavingWay = CopyKind | "originals";

export interface LeavingPhoto {
  readonly id: string;
  readonly sha256: Sha256;
  readonly name: string;
  readonly purpose: Revision["content"]["photos"][number]["purpose"];
  /** Corners of its boards, shares of the picture as it is shown. */
  readonly boards: readonly (readonly number[])[];
}

/** A photo that nobody has looked at does not leave. */
export class NotLookedAt extends Error {}

/**
 * Photos of a closed revision of which copies may go along. Those of the camera sheet never do: they
 * say nothing to anybody else.
 */
export function leavingPhotos(entry: RevisionEntry, { content }: Revision): LeavingPhoto[] {
  const ids = new Map(entry.photos.map(({ id, sha256 }) => [sha256, id]));
  return content.photos.flatMap(({ name, sha256, purpose, orientation }) => {
    const id = ids.get(sha256);
    const found = content.result?.photos.find((photo) => photo.name === name);
    const boards = (found?.boards ?? []).map(({ outline }) =>
      turnedShares(
        outline.map((value, i) => value / (i % 2 === 0 ? found!.width : found!.height)),
        orientation,
      ),
    );
    return id && purpose !== "sheet" ? [{ id, sha256, name, purpose, boards }] : [];
  });
}

/** Copies of the photos by hash, `side` px at most; without photos that would show nothing. */
export async function copiesOf(
  photos: readonly LeavingPhoto[],
  kind: CopyKind,
  side: number,
  pictureOf: (id: string) => Promise<Blob | null> = shownPhoto,
): Promise<Map<Sha256, Blob>> {
  const copies = new Map<Sha256, Blob>();
  if (kind === "none") {
    return copies;
  }
  const covers = await loadCovers(photos.map(({ id }) => id));
  const { copyFor } = await import("../faces/find-faces.ts");
  const boardsOnly = kind === "boards only";
  for (const { id, sha256, name, boards } of photos) {
    const cover = covers.get(id);
    if (!cover && !boardsOnly) {
      throw new NotLookedAt(name);
    }
    const picture = boardsOnly && boards.length === 0 ? null : await pictureOf(id);
    if (picture) {
      const plan = { covered: cover?.covered ?? [], boards, boardsOnly };
      copies.set(sha256, await copyFor(picture, plan, side));
    }
  }
  return copies;
}

/** The sharp small pictures of the photo stage, else ones made now: enough for paper. */
export async function smallPictures(jobId: string, side: number) {
  const stored = new Map(
    (await listPhotos(jobId)).map(({ id, thumb, preview }) => [id, preview ? null : thumb]),
  );
  return async (id: string): Promise<Blob | null> => {
    const small = stored.get(id);
    const blob = small ? null : await shownPhoto(id);
    return small ?? (blob && thumbs().thumb(blob, side));
  };
}
