/** Finds places for words on a drawing, so that none lies on another or on what it explains. */

export interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
}

/** Where a text may begin, be centred or end; `y` is its base line. */
export interface Spot {
  readonly x: number;
  readonly y: number;
  readonly anchor: "start" | "middle" | "end";
}

export interface LabelWish {
  readonly key: string;
  readonly text: string;
  readonly fontPx: number;
  /** In order of preference. */
  readonly spots: readonly Spot[];
}

export interface PlacedLabel extends Spot {
  readonly key: string;
  readonly text: string;
  readonly fontPx: number;
}

/** Left free beside a word, px. */
const gapPx = 5;

/** Mean width of a letter of the app's typeface, as a share of its size. */
const letterShare = 0.56;

/** The room a text takes, px. */
export function boxOf(text: string, fontPx: number, { x, y, anchor }: Spot): Box {
  const width = text.length * fontPx * letterShare;
  const left = anchor === "start" ? x : anchor === "end" ? x - width : x - width / 2;
  return { left, top: y - fontPx * 0.8, right: left + width, bottom: y + fontPx * 0.25 };
}

/** Area that two boxes share, px². */
export function sharedArea(a: Box, b: Box): number {
  const width = Math.min(a.right, b.right) - Math.max(a.left, b.left);
  const height = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
  return width > 0 && height > 0 ? width * height : 0;
}

const areaOf = (box: Box): number => (box.right - box.left) * (box.bottom - box.top);

/**
 * Gives every wish, in turn, the first of its spots that is free, else the one that covers least.
 * What lies outside the paper counts as covered several times over.
 */
export function placeLabels(
  wishes: readonly LabelWish[],
  taken: readonly Box[],
  paper: Box,
): PlacedLabel[] {
  const boxes = [...taken];
  return wishes.map(({ key, text, fontPx, spots }) => {
    const cost = (spot: Spot): number => {
      const box = boxOf(text, fontPx, spot);
      const outside = areaOf(box) - sharedArea(box, paper);
      return boxes.reduce((sum, other) => sum + sharedArea(box, other), 10 * outside);
    };
    let best = spots[0];
    let least = Number.POSITIVE_INFINITY;
    for (const spot of spots) {
      const covered = cost(spot);
      if (covered < least) {
        [best, least] = [spot, covered];
      }
    }
    const box = boxOf(text, fontPx, best);
    // Words need a gap between them, and digits are wider than the mean letter.
    boxes.push({ ...box, left: box.left - gapPx, right: box.right + gapPx });
    return { key, text, fontPx, ...best };
  });
}

/** A line as a row of small boxes, so that words keep off it. */
export function boxesAlong(
  from: readonly [number, number],
  to: readonly [number, number],
  half = 2,
): Box[] {
  const length = Math.hypot(to[0] - from[0], to[1] - from[1]);
  const steps = Math.max(1, Math.ceil(length / (2 * half)));
  return Array.from({ length: steps + 1 }, (_, index) => {
    const x = from[0] + ((to[0] - from[0]) * index) / steps;
    const y = from[1] + ((to[1] - from[1]) * index) / steps;
    return { left: x - half, top: y - half, right: x + half, bottom: y + half };
  });
}

/** The box around points. */
export function boxAround(points: readonly (readonly [number, number])[]): Box {
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  return {
    left: Math.min(...xs),
    top: Math.min(...ys),
    right: Math.max(...xs),
    bottom: Math.max(...ys),
  };
}

/** Spots right of, left of, above and below a box, `gap` away. */
export function spotsAround(box: Box, fontPx: number, gap: number): Spot[] {
  const middle = (box.left + box.right) / 2;
  const base = (box.top + box.bottom) / 2 + fontPx * 0.33;
  return [
    { x: box.right + gap, y: base, anchor: "start" },
    { x: box.left - gap, y: base, anchor: "end" },
    { x: middle, y: box.top - gap, anchor: "middle" },
    { x: middle, y: box.bottom + gap + fontPx * 0.75, anchor: "middle" },
  ];
}
