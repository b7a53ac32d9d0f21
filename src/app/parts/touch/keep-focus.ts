/**
 * Keeps the focus in sight. A page that draws itself anew loses it in two ways: the screen changes,
 * or the control that was pressed goes away. After the first the focus goes to the heading of the
 * new screen, after the second to the nearest part around the control that is still there. Fingers
 * and mice notice nothing; keyboards and screen readers go on from there.
 */
export function keepFocus(root: HTMLElement): void {
  /** The last control that had the focus, and what it lay in, from the inside out. */
  let path: readonly Element[] = [];
  let headingWanted = false;
  let lastPlace = window.location.hash;

  const settle = () => {
    if (headingWanted && toHeading()) {
      headingWanted = false;
    } else if (!headingWanted && isLost() && path.length > 0 && !path[0].isConnected) {
      const around = path.find((part) => part.isConnected && part.closest("main"));
      focusOn(around ?? document.querySelector("main"));
    }
  };
  document.addEventListener("focusin", (event) => {
    path = ancestors(event.target as Element);
  });
  // A person who moves the focus on has found the way.
  document.addEventListener("keydown", () => {
    headingWanted = false;
  });
  window.addEventListener("hashchange", () => {
    const place = window.location.hash;
    const paging = isPaging(lastPlace, place);
    lastPlace = place;
    requestAnimationFrame(() => {
      headingWanted = !paging || isLost();
      settle();
    });
  });
  new MutationObserver(settle).observe(root, { childList: true, subtree: true });
}

const isLost = (): boolean =>
  document.activeElement === null || document.activeElement === document.body;

/** From one photo to the next: the focus stays on the arrow that was pressed. */
function isPaging(from: string, to: string): boolean {
  const photo = /^#\/job\/[^/]+\/photos\/./;
  return photo.test(from) && photo.test(to);
}

function ancestors(element: Element): Element[] {
  const path: Element[] = [];
  for (let part: Element | null = element; part; part = part.parentElement) {
    path.push(part);
  }
  return path;
}

function toHeading(): boolean {
  const heading = document.querySelector("main h1");
  // A heading for listeners only cannot show the focus: the first control does.
  const target = heading?.matches(".only-heard")
    ? document.querySelector("main button, main a")
    : heading;
  return focusOn(target);
}

function focusOn(target: Element | null): boolean {
  if (!(target instanceof HTMLElement)) {
    return false;
  }
  if (!target.matches("a, button, input, select, textarea, summary, [tabindex]")) {
    target.tabIndex = -1;
  }
  target.focus({ preventScroll: true });
  return true;
}
