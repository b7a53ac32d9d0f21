/** A second tap that comes sooner than this was meant for what the first one already did, ms. */
const soonMs = 300;
const nearPx = 16;

/**
 * Swallows the second tap of a wet or gloved finger. After the first the screen may have changed, and
 * the second would press whatever lies there now: skip a move, tick and untick a check, begin two
 * jobs. Text can still be selected by a double click, and what carries `data-again` (zoom, paging) may
 * be pressed as fast as one likes. Keys are not concerned.
 */
export function ignoreDoubleTaps(root: HTMLElement): void {
  let last: Click = { at: Number.NEGATIVE_INFINITY, x: 0, y: 0, target: null };
  root.addEventListener(
    "click",
    (event) => {
      const { target } = event;
      if (event.detail === 0 || !event.isTrusted || !(target instanceof Element)) {
        return;
      }
      if (last.target !== target && last.target?.closest("label")?.control === target) {
        // The label passes the click on to its control.
        last = { ...last, target: null };
        return;
      }
      const since = event.timeStamp - last.at;
      const near = Math.hypot(event.clientX - last.x, event.clientY - last.y) < nearPx;
      last = { at: event.timeStamp, x: event.clientX, y: event.clientY, target };
      if (near && since < soonMs && !target.closest(repeatable)) {
        event.preventDefault();
        event.stopPropagation();
      }
    },
    true,
  );
}

interface Click {
  readonly at: number;
  readonly x: number;
  readonly y: number;
  readonly target: Element | null;
}

const repeatable =
  "[data-again], textarea, select, input:not([type=checkbox], [type=radio], [type=file])";
