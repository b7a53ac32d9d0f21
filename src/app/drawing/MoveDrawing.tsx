import type { Move } from "../../job/result/result.ts";
import { wayOf } from "../i18n/words.ts";

/** Arrow per way, on a 64 x 64 grid: seen from above for turn and slide, from the front else. */
const arrows: Record<string, string> = {
  left: "M54 32H10M22 20 10 32l12 12",
  right: "M10 32h44M42 20l12 12-12 12",
  "towards the car": "M32 10v44M20 42l12 12 12-12",
  "away from the car": "M32 54V10M20 22l12-12 12 12",
  forward: "M32 54V10M20 22l12-12 12 12",
  rearward: "M32 10v44M20 42l12 12 12-12",
  up: "M32 54V10M20 22l12-12 12 12",
  down: "M32 10v44M20 42l12 12 12-12",
  clockwise: "M19.1 49.3A20 20 0 1 1 50.8 40.8",
  "counter-clockwise": "M44.9 49.3A20 20 0 1 0 13.2 40.8",
  "left end up": "M8 44 56 26M12 30V14M6 20l6-7 6 7",
  "right end up": "M56 44 8 26M52 30V14M46 20l6-7 6 7",
  "face up": "M24 54V14M34 34a16 16 0 0 0 10-14M38 22l6-4 4 7",
  "face down": "M24 10v40M34 30a16 16 0 0 1 10 14M38 42l6 4 4-7",
  "front edge up": "M8 46h48M32 40V14M22 24l10-10 10 10",
  "front edge down": "M8 18h48M32 24v26M22 40l10 10 10-10",
};

/** Round arrows have a filled head: open barbs would run into their arc. */
const heads: Record<string, string> = {
  clockwise: "M59.3 43.9 46 54 42.3 37.7Z",
  "counter-clockwise": "M4.7 43.9 18 54 21.7 37.7Z",
};

/** The way of a move as an arrow. The word always stands beside it. */
export function MoveDrawing({ move }: { readonly move: Move }) {
  const way = wayOf(move);
  return (
    <svg className="move-drawing" viewBox="0 0 64 64" aria-hidden="true" focusable="false">
      <path d={arrows[way] ?? "M12 32h40"} />
      {heads[way] ? <path className="move-head" d={heads[way]} /> : null}
    </svg>
  );
}
