/** A second tap that comes sooner than this was meant for what the first one already did, ms. */
const soonMs = 300;
/** A click that a label passes on to its control follows at once. */
const atOnceMs = 30;
const nearPx = 16;

/**
 * Swallows the second tap of a wet or gloved finger. After the first the screen may have changed, and
 * the second would press whatever lies there now: skip a move, tick and untick a check, begin two
 * jobs. Text can still be selected by a double click, and what carries `data-again` (zoom, paging) may
 * be pressed as fast as one likes. Keys are not concerned.
 */
export function ignoreDoubleTaps(root: HTMLElement): void {
  let last = { at: Number.NEGATIVE_INFINITY, x: 0, y: 0 };
  root.addEventListener(
    "click",
    (event) => {
      if (event.detail === 0 || !(event.target instanceof Element)) {
        return;
      }
      const since = event.timeStamp - last.at;
      const near = Math.hypot(event.clientX - last.x, event.clientY - last.y) < nearPx;
      if (near && since < atOnceMs) {
        return;
      }
      last = { at: event.timeStamp, x: event.clientX, y: event.clientY };
      if (near && since < soonMs && !event.target.closest(repeatable)) {
        event.preventDefault();
        event.stopPropagation();
      }
    },
    true,
  );
}

const repeatable =
  "[data-again], textarea, select, input:not([type=checkbox], [type=radio], [type=file])";
