import type { Adjusted } from "../../adjust/adjust.ts";
import { boardNumber } from "../../adjust/problem/names.ts";
import type { Diagnosis } from "../../adjust/test/diagnosis.ts";
import type { Remark } from "../result/remark-codes.ts";

/**
 * A view that contradicts the others is outvoted: it counts for little, and the rest decides. That is
 * right where a clear majority of the photo's boards stands against it. Where it does not, the photo
 * may be right and the others wrong: something moved between the photos, and which of the two places
 * the adjustment took is chance.
 */
export const unclearMajorities = (
  diagnosis: Pick<Diagnosis, "twice">,
  adjusted: Adjusted,
): Remark[] => {
  const counted = countedViews(adjusted).filter(
    ({ board }) => !diagnosis.twice.some((two) => two.board === board),
  );
  const odd = oddBoards(counted);
  const photos = [...new Set(counted.map(({ photo }) => photo))];
  return photos.flatMap((photo) => {
    // A board that fits in hardly any photo is odd by itself, and no witness against a photo.
    const views = counted.filter((view) => view.photo === photo && !odd.has(view.board));
    const against = views.filter(({ weight }) => weight < outvotedWeight);
    const clear = views.length - against.length >= clearMajority * against.length;
    return clear ? [] : [remarkOn(photo, against)];
  });
};

/** A view with less robust weight (0 to 1) is outvoted. Our own, no source. */
const outvotedWeight = 0.1;
/** So many boards of a photo have to fit for each one that does not. Our own, no source. */
const clearMajority = 2;

interface View {
  readonly photo: string;
  readonly board: string;
  readonly weight: number;
}

const countedViews = ({ internals: { model, weights } }: Adjusted): View[] =>
  model.views.map(({ observation: { photo, board } }, i) => ({ photo, board, weight: weights[i] }));

/** Boards that are outvoted in at least half of their photos: of another size, bent or wrong. */
const oddBoards = (views: readonly View[]): Set<string> => {
  const boards = new Set(views.map(({ board }) => board));
  return new Set(
    [...boards].filter((board) => {
      const own = views.filter((view) => view.board === board);
      return (
        own.length > 2 && 2 * own.filter((v) => v.weight < outvotedWeight).length >= own.length
      );
    }),
  );
};

const remarkOn = (photo: string, views: readonly View[]): Remark => {
  const boards = [...new Set(views.map(({ board }) => boardNumber(board)))];
  const several = boards.length > 1;
  return {
    code: "majority-unclear",
    values: { photo, boards, count: boards.length },
    severity: "warning",
    message:
      `Photo ${photo} shows board${several ? "s" : ""} ${boards.join(", ")} elsewhere than the other ` +
      "photos do, and too few boards in it agree with them to tell which is right: something may " +
      "have moved between the photos.",
    remedy:
      "If car, stand or boards were touched, take all photos again. If not, take this photo again " +
      "with more boards in view.",
    about: photo,
  };
};
