/** Hours of watching from one real frame: its boards, moved and scattered. */
import type { BoardView } from "../../../src/detect/findings/findings.ts";
import { usualSettings, Watch, type WatchEvent } from "../../../src/watch/watch.ts";
import { gaussian, seededRandom } from "../render-board.ts";
import { cellMm, errorShape, isStandId, streamLens, streamSize } from "./stream.ts";

export interface Story {
  readonly seconds: number;
  readonly seed: number;
  /** Real scatter over the stated one. */
  readonly noiseFactor: number;
  /** Movement of the stand: mm right and away, from this second on. */
  readonly stand?: { readonly from: number; readonly mm: readonly [number, number] };
  /** The tripod is touched: px, at this second. */
  readonly bump?: { readonly at: number; readonly px: number };
  /** Share of the time in which somebody stands in the way of a board. */
  readonly hiddenShare: number;
}

export function watchStory(views: readonly BoardView[], story: Story): WatchEvent[] {
  const random = seededRandom(story.seed);
  const normal = () => gaussian(random);
  const shapes = views.map(errorShape);
  const watch = new Watch({ ...usualSettings, cellMm: () => cellMm, focalPx: streamLens.fx });
  const events: WatchEvent[] = [];
  const sway = { x: 0, y: 0, growth: 0 };
  const drift = views.map(() => ({ x: 0, y: 0, growth: 0 }));
  const hidden = views.map(() => 0);
  for (let second = 0; second < story.seconds; second++) {
    // The stabiliser wanders; each board's place wanders a little by light and warmth.
    wander(sway, 0.3, 30, normal, 1e-4 / 0.3);
    for (const own of drift) wander(own, 0.003, 60, normal, 1 / 40);
    const bump = story.bump && second >= story.bump.at ? story.bump.px : 0;
    const boards = views.flatMap((view, i) => {
      if (hidden[i] > 0) {
        hidden[i]--;
        return [];
      }
      if (random() < story.hiddenShare / 5) hidden[i] = Math.floor(2 + 6 * random());
      const [right, away] =
        story.stand && second >= story.stand.from && isStandId(view.id) ? story.stand.mm : [0, 0];
      const perMm = view.quality.cellPx / cellMm;
      const distance = (streamLens.fx * cellMm) / view.quality.cellPx;
      const growth = -away / distance + drift[i].growth;
      const x = right * perMm + sway.x + bump + drift[i].x;
      const moved = { x, y: sway.y + drift[i].y, growth, common: sway.growth };
      return [scattered(view, shapes[i], story.noiseFactor, moved, normal)];
    });
    events.push(...watch.push({ at: second * 1000, ...streamSize, boards }).events);
  }
  return events;
}

function wander(
  state: { x: number; y: number; growth: number },
  size: number,
  seconds: number,
  normal: () => number,
  growthShare: number,
): void {
  const keep = Math.exp(-1 / seconds);
  const kick = size * Math.sqrt(1 - keep * keep);
  state.x = keep * state.x + kick * normal();
  state.y = keep * state.y + kick * normal();
  state.growth = keep * state.growth + kick * growthShare * normal();
}

function scattered(
  view: BoardView,
  { rows, shape }: { rows: number; shape: Float64Array },
  factor: number,
  { x, y, growth, common }: { x: number; y: number; growth: number; common: number },
  normal: () => number,
): BoardView {
  const z = Array.from({ length: rows }, () => factor * normal());
  const count = view.pixels.length / 2;
  const centre = [0, 1].map((k) =>
    view.pixels.reduce((s, v, i) => (i % 2 === k ? s + v / count : s), 0),
  );
  const pixels = view.pixels.map((value, i) => {
    let error = 0;
    for (let r = 0; r < rows; r++) error += shape[i * rows + r] * z[r];
    const middle = i % 2 === 0 ? streamLens.cx : streamLens.cy;
    return (
      value +
      growth * (value - centre[i % 2]) +
      common * (value - middle) +
      (i % 2 === 0 ? x : y) +
      error
    );
  });
  return { ...view, pixels };
}
