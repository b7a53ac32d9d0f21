import { turnedShares } from "../../../../photo/exif/turn-of.ts";
import type { CopyPlan } from "../../../faces/face-worker.ts";
import type { JobState } from "../../../state/job-state.ts";
import type { PhotoRecord } from "../../../store/database/schema.ts";

/** Corners of the boards in a photo, shares of the picture as it is shown. */
export function boardsIn(state: JobState, photo: PhotoRecord): number[][] {
  const outcome = state.outcomes.get(photo.id)?.outcome;
  if (!outcome?.ok) {
    return [];
  }
  const { width, height, exif, boards } = outcome.findings;
  return boards.map(({ outline }) =>
    turnedShares(
      [...outline].map((value, i) => value / (i % 2 === 0 ? width : height)),
      exif?.orientation ?? 1,
    ),
  );
}

export interface CopyItem {
  readonly name: string;
  readonly picture: Blob;
  readonly plan: CopyPlan;
}

/** All copies in one file; `onShare` runs from 0 to 1. */
export async function zipOfCopies(
  items: readonly CopyItem[],
  onShare: (share: number) => void,
): Promise<File> {
  const [{ copyFor }, { zipSync }] = await Promise.all([
    import("../../../faces/find-faces.ts"),
    import("fflate"),
  ]);
  const files: Record<string, [Uint8Array, { level: 0 }]> = {};
  for (const [done, { name, picture, plan }] of items.entries()) {
    const copy = await copyFor(picture, plan);
    const stem = name.replace(/\.[^.]*$/, "");
    files[`${stem}.jpg`] = [new Uint8Array(await copy.arrayBuffer()), { level: 0 }];
    onShare((done + 1) / items.length);
  }
  const bytes = zipSync(files) as Uint8Array<ArrayBuffer>;
  return new File([bytes], "photo-copies.zip", { type: "application/zip" });
}
