/**
 * How well photos and boards hold together. Photos and boards are the points of a graph, each view a
 * line between them. A board, or a photo, that is the only tie between two parts of the bay is a weak
 * place: a reflection on it, and there are two measurements that know nothing of each other.
 */
export interface Shown {
  readonly boards: readonly string[];
}

/** Parts that would come apart, summed over the loss of each single board and of each single photo. */
export const weakPlaces = (photos: readonly Shown[]): number => {
  const names = [...new Set(photos.flatMap(({ boards }) => boards))];
  const index = new Map(names.map((name, i) => [name, i]));
  const shown = photos.map(({ boards }) => boards.map((board) => index.get(board)!));
  let weak = partsWithout(shown, names.length, -1, -1) - 1;
  for (let photo = 0; photo < shown.length; photo++)
    weak += partsWithout(shown, names.length, photo, -1) - 1;
  for (let board = 0; board < names.length; board++)
    weak += partsWithout(shown, names.length, -1, board) - 1;
  return photos.length === 0 ? 0 : weak;
};

/** Connected parts of the boards without one photo or one board (-1: none); 1 where nothing is left. */
const partsWithout = (
  shown: readonly (readonly number[])[],
  count: number,
  photo: number,
  board: number,
): number => {
  const parent = Int32Array.from({ length: count }, (_, i) => i);
  const rootOf = (i: number): number => {
    let at = i;
    while (parent[at] !== at) at = parent[at];
    return at;
  };
  let parts = board < 0 ? count : count - 1;
  shown.forEach((boards, p) => {
    if (p === photo) return;
    let first = -1;
    for (const b of boards) {
      if (b === board) continue;
      const root = rootOf(b);
      if (first < 0) first = root;
      else if (root !== first) {
        parent[root] = first;
        parts--;
      }
    }
  });
  return Math.max(1, parts);
};
