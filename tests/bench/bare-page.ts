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
  /** What the engine of the page and of every worker holds at present, one line each. */
  heaps(): Promise<string[]>;
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
  const { send, heard } = sender(session, sessionId);
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
    heaps: heapsOf(send, heard),
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

type Send = (method: string, params: object) => Promise<Record<string, unknown>>;
type Heard = (event: { readonly method: string; readonly params: Record<string, unknown> }) => void;

/** Questions to one page, inside messages of the browser's session; events go to whoever listens. */
function sender(
  session: CDPSession,
  sessionId: string,
): { readonly send: Send; readonly heard: Heard[] } {
  const heard: Heard[] = [];
  const send = asker((message) =>
    session.send("Target.sendMessageToTarget", { sessionId, message }),
  );
  session.on("Target.receivedMessageFromTarget", ({ message }) => {
    const answer = JSON.parse(message) as Answer & { readonly method?: string };
    if (answer.id !== undefined) send.answered(answer);
    else for (const listen of heard) listen(answer as never);
  });
  return { send: send.ask, heard };
}

/** Questions by number, and the answers to them. */
function asker(post: (message: string) => Promise<unknown>) {
  const waiting = new Map<number, (answer: Answer) => void>();
  let last = 0;
  return {
    answered: (answer: Answer) => waiting.get(answer.id ?? 0)?.(answer),
    ask: async (method: string, params: object): Promise<Record<string, unknown>> => {
      const id = ++last;
      const answer = new Promise<Answer>((resolve) => waiting.set(id, resolve));
      await post(JSON.stringify({ id, method, params }));
      const { result, error } = await answer;
      waiting.delete(id);
      if (error) throw new Error(`${method}: ${error.message}`);
      return result ?? {};
    },
  };
}

/** Attaches to the page's workers at the first question. */
function heapsOf(send: Send, heard: Heard[]): () => Promise<string[]> {
  const workers = new Map<string, { url: string; talk: ReturnType<typeof asker> }>();
  let listening: Promise<unknown> | null = null;
  const listen: Heard = ({ method, params }) => {
    const { sessionId } = params as { sessionId: string };
    if (method === "Target.attachedToTarget") {
      const { url } = params.targetInfo as { url: string };
      const talk = asker((message) => send("Target.sendMessageToTarget", { sessionId, message }));
      workers.set(sessionId, { url, talk });
    } else if (method === "Target.detachedFromTarget") {
      workers.delete(sessionId);
    } else if (method === "Target.receivedMessageFromTarget") {
      workers.get(sessionId)?.talk.answered(JSON.parse(params.message as string) as Answer);
    }
  };
  return async () => {
    if (!listening) {
      heard.push(listen);
      listening = send("Target.setAutoAttach", {
        autoAttach: true,
        waitForDebuggerOnStart: false,
        flatten: false,
      });
    }
    await listening;
    const page = await send("Runtime.getHeapUsage", {});
    const lines = await Promise.all(
      [...workers.values()].map(async ({ url, talk }) => {
        const usage = await within(talk.ask("Runtime.getHeapUsage", {}), 300);
        return `${url.split("/").at(-1)}: ${usage ? heapLine(usage) : "busy"}`;
      }),
    );
    return [`page: ${heapLine(page)}`, ...lines];
  };
}

/** A worker that computes does not answer. */
const within = <T>(answer: Promise<T>, ms: number): Promise<T | null> =>
  Promise.race([
    answer.catch(() => null),
    new Promise<null>((resolve) => setTimeout(() => resolve(null), ms)),
  ]);

function heapLine(usage: Record<string, unknown>): string {
  const mb = (name: string): string => (Number(usage[name] ?? 0) / 1e6).toFixed(0);
  return `objects ${mb("usedSize")} of ${mb("totalSize")} MB, buffers ${mb("backingStorageSize")} MB`;
}
