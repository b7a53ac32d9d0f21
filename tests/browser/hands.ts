import type { Locator, Page } from "playwright-core";
import { expect } from "vitest";

/**
 * Three ways of using the app: a mouse, a finger, a keyboard alone. One walk through a job is
 * written once and done by each. Controls are found by the words that a person sees or hears.
 */
export interface Hand {
  /** Presses a button or follows a link. */
  press(name: string | RegExp): Promise<void>;
  /** Replaces what a field holds; `group` is the legend around it where labels repeat. */
  type(label: string, text: string, group?: string): Promise<void>;
  /** Ticks a box. */
  tick(label: string): Promise<void>;
  /** Picks the entry of a list that begins with `text`; `group` as for `type`. */
  pick(label: string, text: string, group?: string): Promise<void>;
  /** Opens what is folded. */
  unfold(name: string): Promise<void>;
  /** Presses a button that asks for files and hands them over. */
  give(name: string, files: Files): Promise<void>;
}

type Files = string[] | { name: string; mimeType: string; buffer: Buffer };

/** A mouse or a finger: both point at things. */
export function pointingHand(page: Page, point: (target: Locator) => Promise<void>): Hand {
  const control = (name: string | RegExp): Locator =>
    page
      .getByRole("button", { name, exact: true })
      .or(page.getByRole("link", { name, exact: true }))
      .first();
  const field = (label: string, group?: string): Locator =>
    (group ? page.getByRole("group", { name: group, exact: true }) : page).getByLabel(label, {
      exact: true,
    });
  return {
    press: (name) => point(control(name)),
    async type(label, text, group) {
      const target = field(label, group).first();
      await point(target);
      await target.fill(text);
    },
    tick: (label) => point(page.locator("label", { hasText: label })),
    async pick(label, text, group) {
      const list = field(label, group);
      const option = list.locator("option", { hasText: new RegExp(`^${text}`) }).first();
      await list.selectOption({ label: (await option.textContent()) ?? "" });
    },
    unfold: (name) => point(page.locator("summary", { hasText: new RegExp(`^\\+?\\s*${name}`) })),
    async give(name, files) {
      const [chooser] = await Promise.all([page.waitForEvent("filechooser"), point(control(name))]);
      await chooser.setFiles(files);
    },
  };
}

export const mouseHand = (page: Page): Hand => pointingHand(page, (target) => target.click());
export const touchHand = (page: Page): Hand => pointingHand(page, (target) => target.tap());

/** What has the focus, in words, and whether a person can see that it has it. */
interface Focused {
  readonly name: string;
  readonly group: string;
  readonly tag: string;
  readonly problem: string;
}

/** More presses of Tab than any screen has stops. */
const mostStops = 250;

/** Tab, Enter, space, arrows and letters only. Says at every stop where the focus cannot be seen. */
export function keyboardHand(page: Page, problems: string[]): Hand {
  // The driver catches file choosers only while somebody listens, and a key is quicker than a click.
  page.on("filechooser", () => {});
  const look = async (): Promise<Focused> => {
    const focused = await page.evaluate(lookAtFocus);
    if (focused.problem) {
      problems.push(
        `${new URL(page.url()).hash.split("/").slice(3).join("/")}: ${focused.problem}`,
      );
    }
    return focused;
  };
  const tabTo = async (fits: (focused: Focused) => boolean, what: string): Promise<void> => {
    // A control that is about to appear gets a second round.
    for (let stop = 0; stop < mostStops; stop++) {
      const focused = await look();
      if (fits(focused)) {
        return;
      }
      await page.keyboard.press("Tab");
    }
    throw new Error(`Tab never came to ${what}.`);
  };
  const named = (name: string | RegExp) => (focused: Focused) =>
    typeof name === "string" ? focused.name === name : name.test(focused.name);
  const enter = async (): Promise<void> => {
    await page.keyboard.press("Enter");
    // What was pressed may be gone; the focus must be somewhere all the same.
    await page.waitForTimeout(120);
    await expect
      .poll(() => page.evaluate(() => document.activeElement !== document.body))
      .toBe(true);
  };
  return {
    async press(name) {
      await tabTo((at) => named(name)(at) && /^(A|BUTTON)$/.test(at.tag), String(name));
      await enter();
    },
    async type(label, text, group) {
      await tabTo(
        (at) => at.name === label && (!group || at.group === group) && at.tag !== "BUTTON",
        `${group ?? ""} ${label}`,
      );
      await page.keyboard.press("ControlOrMeta+A");
      await page.keyboard.type(text);
    },
    async tick(label) {
      await tabTo((at) => at.name.startsWith(label) && at.tag === "INPUT", label);
      await page.keyboard.press("Space");
    },
    async pick(label, text, group) {
      await tabTo((at) => at.name === label && (!group || at.group === group), label);
      // A list reads letters that come slowly as several beginnings: then a person types again.
      const picked = () =>
        page.evaluate(() => {
          const list = document.activeElement as HTMLSelectElement | null;
          return list?.selectedOptions?.[0]?.textContent ?? "";
        });
      for (let attempt = 0; attempt < 4 && !(await picked()).startsWith(text); attempt++) {
        await page.waitForTimeout(attempt === 0 ? 0 : 1500);
        await page.keyboard.type(text);
      }
    },
    async unfold(name) {
      await tabTo((at) => at.name.startsWith(name) && at.tag === "SUMMARY", name);
      await page.keyboard.press("Enter");
      // A person looks before the next key.
      await page.waitForFunction(() =>
        document.activeElement?.parentElement?.querySelector(".fold-body"),
      );
    },
    async give(name, files) {
      await tabTo(named(name), name);
      const [chooser] = await Promise.all([
        page.waitForEvent("filechooser"),
        page.keyboard.press("Enter"),
      ]);
      await chooser.setFiles(files);
    },
  };
}

/** Runs in the page. */
function lookAtFocus(): Focused {
  const element = document.activeElement as HTMLElement | null;
  if (!element || element === document.body) {
    // Between the last stop and the first the browser's own controls have their turn.
    return { name: "", group: "", tag: "", problem: "" };
  }
  const labels = (element as HTMLInputElement).labels;
  const label = labels && labels.length > 0 ? labels[0].textContent : null;
  const name = (element.getAttribute("aria-label") ?? label ?? element.textContent ?? "")
    .replace(/\s+/g, " ")
    .trim();
  const legend = element.closest("fieldset")?.querySelector("legend")?.textContent ?? "";
  // Boxes and radio buttons draw their ring on the label's visible part.
  const rings = [element, element.nextElementSibling].filter((part) => part !== null);
  const shown = rings.some((part) => {
    const style = getComputedStyle(part);
    return style.outlineStyle !== "none" && Number.parseFloat(style.outlineWidth) >= 2;
  });
  const small = element.matches("input[type=checkbox], input[type=radio]");
  const box = (small ? (element.parentElement ?? element) : element).getBoundingClientRect();
  const x = Math.min(Math.max(box.left + box.width / 2, 1), window.innerWidth - 2);
  const y = Math.min(Math.max(box.top + Math.min(box.height / 2, 30), 1), window.innerHeight - 2);
  const top = document.elementFromPoint(x, y);
  const inView = box.bottom > 0 && box.top < window.innerHeight && box.width > 0;
  const covered =
    top !== null &&
    !element.contains(top) &&
    !top.contains(element) &&
    !(element.parentElement?.contains(top) ?? false);
  const problem = !shown
    ? `focus not visible on ${element.tagName} ${name.slice(0, 50)}`
    : !inView
      ? `focus out of sight on ${element.tagName} ${name.slice(0, 50)}`
      : covered
        ? `focus covered on ${element.tagName} ${name.slice(0, 50)} by ${top?.className}`
        : "";
  return { name, group: legend, tag: element.tagName, problem };
}
