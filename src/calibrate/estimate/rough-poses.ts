import { type Lens, unproject } from "../../lens/lens.ts";
import { planarPoses } from "../../maths/planar-pose.ts";
import type { Pose } from "../../maths/pose.ts";
import type { SheetPhoto } from "../photos/sheet-photo.ts";

/**
 * Camera from sheet (squares as unit) of each photo by itself, with a lens that need not be good;
 * null where a photo gives none.
 */
export const roughPoses = (photos: readonly SheetPhoto[], lens: Lens): (Pose | null)[] =>
  photos.map(({ view }) => {
    const plane: number[] = [];
    const image: number[] = [];
    for (let i = 0; i + 1 < view.pixels.length; i += 2) {
      const point = unproject(lens, view.pixels[i], view.pixels[i + 1]);
      if (!point) continue;
      plane.push(view.boardPoints[i], view.boardPoints[i + 1]);
      image.push(...point);
    }
    const [best] = planarPoses(plane, image);
    return best?.pose ?? null;
  });
