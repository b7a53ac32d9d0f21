/**
 * A page that nobody listens to. Playwright has Chromium keep every answer of the network in the page's
 * process, for its own events; where memory is measured that would count as the app's. This page is made
 * beside Playwright's own contexts and is asked single questions over the debugging protocol.
 */
import { readFileSync } from "node:fs";
import type { Browser, CDPSession } from "playwright-core";

export interface BarePage {
  /** Value of an expression in the page; a promise is awaited. */
  evaluate<T>(expression: string): Promise<T>;
  /** Puts files into the file input that a selector finds. */
  setFiles(selector: string, files: readonly string[]): Promise<void>;
  /** Waits until an expression in the page is true. */
  until(expression: string, patienceMs?: number): Promise<void>;
  /** Process of the page, its workers included. */
  readonly pid: number;
  close(): Promise<void>;
}

interface Answer {
  readonly id?: number;
  readonly result?: Record<string, unknown>;
  readonly error?: { readonly message: string };
}
interface Evaluated {
  readonly result: { readonly value?: unknown; readonly objectId?: string };
  readonly exceptionDetails?: { readonly text: string; readonly exception?: unknown };
}

export async function openBarePage(
  browser: Browser,
  url: string,
  size: { readonly width: number; readonly height: number },
): Promise<BarePage> {
  const session = await browser.newBrowserCDPSession();
  const before = await pagePids(session);
  const { browserContextId } = await session.send("Target.createBrowserContext");
  const { targetId } = await session.send("Target.createTarget", {
    url,
    browserContextId,
    ...size,
  });
  const { sessionId } = await session.send("Target.attachToTarget", { targetId });
  const send = sender(session, sessionId);
  const run = async (expression: string, byValue: boolean): Promise<Evaluated["result"]> => {
    const { result, exceptionDetails } = (await send("Runtime.evaluate", {
      expression,
      awaitPromise: true,
      returnByValue: byValue,
    })) as unknown as Evaluated;
    if (exceptionDetails) throw new Error(JSON.stringify(exceptionDetails));
    return result;
  };
  const evaluate = async <T>(expression: string): Promise<T> =>
    (await run(expression, true)).value as T;
  const until = async (expression: string, patienceMs = 30_000): Promise<void> => {
    const end = Date.now() + patienceMs;
    while (!(await evaluate<boolean>(`!!(${expression})`))) {
      if (Date.now() > end) throw new Error(`The page never came to: ${expression}`);
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  };
  await until("document.querySelector('h1')");
  // Chromium keeps an empty process ready beside the page's own, which is the larger.
  const [pid] = (await pagePids(session))
    .filter((one) => !before.includes(one))
    .sort((a, b) => megabytesOf(b).now - megabytesOf(a).now);
  if (pid === undefined) throw new Error("The page has no process of its own.");
  return {
    evaluate,
    until,
    pid,
    setFiles: async (selector, files) => {
      await until(`document.querySelector(${JSON.stringify(selector)})`);
      const { objectId } = await run(`document.querySelector(${JSON.stringify(selector)})`, false);
      await send("DOM.setFileInputFiles", { files, objectId });
    },
    close: async () => {
      await session.send("Target.disposeBrowserContext", { browserContextId });
      await session.detach();
    },
  };
}

/** Resident memory of a process at present, MB; `own` is without what is mapped from files. */
export function megabytesOf(pid: number): { readonly now: number; readonly own: number } {
  const status = readFileSync(`/proc/${pid}/status`, "utf8");
  const of = (name: string): number =>
    Number(new RegExp(`^${name}:\\s+(\\d+) kB`, "m").exec(status)?.[1]) / 1000;
  return { now: of("VmRSS"), own: of("RssAnon") + of("RssShmem") };
}

const pagePids = async (session: CDPSession): Promise<number[]> => {
  const { processInfo } = await session.send("SystemInfo.getProcessInfo");
  return processInfo.filter(({ type }) => type === "renderer").map(({ id }) => id);
};

/** Questions to one page, inside messages of the browser's session. */
function sender(session: CDPSession, sessionId: string) {
  const waiting = new Map<number, (answer: Answer) => void>();
  let last = 0;
  session.on("Target.receivedMessageFromTarget", ({ message }) => {
    const answer = JSON.parse(message) as Answer;
    if (answer.id !== undefined) waiting.get(answer.id)?.(answer);
  });
  return async (method: string, params: object): Promise<Record<string, unknown>> => {
    const id = ++last;
    const answer = new Promise<Answer>((resolve) => waiting.set(id, resolve));
    await session.send("Target.sendMessageToTarget", {
      sessionId,
      message: JSON.stringify({ id, method, params }),
    });
    const { result, error } = await answer;
    waiting.delete(id);
    if (error) throw new Error(`${method}: ${error.message}`);
    return result ?? {};
  };
}
