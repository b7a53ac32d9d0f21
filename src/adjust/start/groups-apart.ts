import type { Said } from "../../say/remark.ts";
import type { Remark } from "../problem/codes.ts";
import type { Layout } from "../problem/layout.ts";
import { boardNumber } from "../problem/names.ts";
import { joinWords } from "../solve/undetermined.ts";
import type { Group } from "./start.ts";

/** A group of boards and photos that nothing ties to the others, as data. */
export type GroupCode = "group" | "group-photos" | "group-boards";

/** What hangs together, by name. */
export interface NamedGroup {
  readonly photos: string[];
  readonly boards: string[];
}

export const namedGroups = (layout: Layout, groups: readonly Group[]): NamedGroup[] =>
  groups.map((g) => ({
    photos: g.photos.map((i) => layout.problem.photos[i].key),
    boards: g.boards.map((i) => layout.problem.boards[i].key),
  }));

/** Says which groups nothing ties to each other. */
export const groupsApart = (named: readonly NamedGroup[]): Remark => {
  const words = named.map((g) =>
    g.boards.length === 0
      ? `photo ${joinWords(g.photos)} (no board found)`
      : g.photos.length === 0
        ? `board ${joinWords(g.boards.map(boardNumber))} (in no photo)`
        : `${g.boards.length === 1 ? "board" : "boards"} ${joinWords(g.boards.map(boardNumber))} in ${g.photos.length === 1 ? "photo" : "photos"} ${joinWords(g.photos)}`,
  );
  const said = named.map(
    (g): Said<GroupCode> => ({
      code:
        g.boards.length === 0 ? "group-photos" : g.photos.length === 0 ? "group-boards" : "group",
      values: { boards: g.boards.map(boardNumber), photos: g.photos },
    }),
  );
  return {
    code: "not-connected",
    values: { groups: said },
    severity: "error",
    message: `Nothing ties these to each other: ${words.join("; ")}.`,
    remedy: "Take photos that show a board of one group together with a board of the other.",
  };
};
