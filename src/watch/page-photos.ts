import type { PhotoOutcome } from "../detect/findings/findings.ts";

/** Longer side of a photo of full size, px; the stream itself has 1920. */
const fullSize = 3000;
/** What a phone on the hand moves between two photos is common to all boards; the rest is less, px. */
const steadyPx = 3;

export type PagePhotosVerdict =
  | { readonly code: "nothing" | "unsteady" }
  | { readonly code: "small"; readonly values: { readonly width: number; readonly height: number } }
  | {
      readonly code: "good";
      readonly values: { readonly width: number; readonly height: number; readonly px: number };
    };

/**
 * Whether photos that the page takes are of full size, and two of them of one size and one scale: how
 * far the distances between boards differ, px. They stay a camera of their own all the same.
 */
export function pagePhotosCheck(first: PhotoOutcome, second: PhotoOutcome): PagePhotosVerdict {
  if (!first.ok || !second.ok) return { code: "nothing" };
  const { width, height } = first.findings;
  if (Math.max(width, height) < fullSize) return { code: "small", values: { width, height } };
  if (second.findings.width !== width || second.findings.height !== height) {
    return { code: "unsteady" };
  }
  const [a, b] = [first, second].map(
    ({ findings }) => new Map(findings.boards.map((board) => [board.id, middle(board.pixels)])),
  );
  const ids = [...a.keys()].filter((id) => b.has(id));
  if (ids.length < 2) return { code: "nothing" };
  let px = 0;
  for (const one of ids) {
    for (const other of ids) {
      px = Math.max(
        px,
        Math.abs(apart(a.get(one)!, a.get(other)!) - apart(b.get(one)!, b.get(other)!)),
      );
    }
  }
  return px > steadyPx ? { code: "unsteady" } : { code: "good", values: { width, height, px } };
}

const middle = (pixels: ArrayLike<number>): [number, number] => {
  const sum: [number, number] = [0, 0];
  for (let i = 0; i < pixels.length; i++) sum[i % 2] += (2 * pixels[i]) / pixels.length;
  return sum;
};

const apart = (a: readonly number[], b: readonly number[]): number =>
  Math.hypot(a[0] - b[0], a[1] - b[1]);
