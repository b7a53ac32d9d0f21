/**
 * A Chromium of our own for the soak bench. It is started as a child process and driven over its
 * debugging port: ending it needs nobody's consent, and a page whose process is gone can be closed
 * from outside. Playwright's own page.close() waits for ever for such a page.
 */
import { type ChildProcess, spawn } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import {
  type Browser,
  type BrowserContext,
  type CDPSession,
  chromium,
  type Page,
} from "playwright-core";
import { phone } from "../browser/app-harness.ts";
import { chromiumFlags, ensureChromium } from "../tools/debian.ts";

export interface OwnBrowser {
  readonly context: BrowserContext;
  newPage(): Promise<Page>;
  /** Closes the page from outside, as a phone does that needs its memory. */
  closePage(page: Page): Promise<void>;
  /** Ends the page's process; the page stays as a wreck until `closePage`. */
  crashPage(page: Page): Promise<void>;
  /** The whole browser at once, without a word to anybody. */
  kill(): void;
}

const startPatienceMs = 60_000;

export async function startBrowser(profile: string): Promise<OwnBrowser> {
  const portFile = join(profile, "DevToolsActivePort");
  rmSync(portFile, { force: true });
  const child = spawn(
    ensureChromium(),
    [
      ...chromiumFlags,
      "--headless=new",
      "--remote-debugging-port=0",
      "--disable-dev-shm-usage",
      `--user-data-dir=${profile}`,
      "about:blank",
    ],
    { stdio: "ignore" },
  );
  const port = await portOf(portFile, child);
  const browser = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
  const [context] = browser.contexts();
  const session = await browser.newBrowserCDPSession();
  const targets = new WeakMap<Page, string>();
  return {
    context,
    newPage: async () => {
      const page = await context.newPage();
      if (phone.viewport) await page.setViewportSize(phone.viewport);
      targets.set(page, await targetOf(page));
      return page;
    },
    closePage: (page) => closeTarget(session, targets.get(page)),
    crashPage: async (page) => {
      const own = await context.newCDPSession(page);
      void own.send("Page.crash").catch(() => undefined);
      await page.waitForEvent("crash", { timeout: 3000 }).catch(() => undefined);
    },
    kill: () => {
      child.kill("SIGKILL");
      void disconnect(browser);
    },
  };
}

/** The browser writes the port into its profile when it listens. */
async function portOf(file: string, child: ChildProcess): Promise<number> {
  const patience = Date.now() + startPatienceMs;
  while (Date.now() < patience && child.exitCode === null) {
    try {
      const port = Number(readFileSync(file, "utf8").split("\n")[0]);
      if (port > 0) return port;
    } catch {
      // Not yet.
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  child.kill("SIGKILL");
  throw new Error("Chromium did not start.");
}

async function targetOf(page: Page): Promise<string> {
  const session = await page.context().newCDPSession(page);
  const { targetInfo } = await session.send("Target.getTargetInfo");
  await session.detach();
  return targetInfo.targetId;
}

async function closeTarget(session: CDPSession, targetId: string | undefined): Promise<void> {
  if (targetId) await session.send("Target.closeTarget", { targetId }).catch(() => undefined);
}

const disconnect = (browser: Browser): Promise<void> => browser.close().catch(() => undefined);
