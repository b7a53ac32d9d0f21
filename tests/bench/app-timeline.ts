/** What the app's page and workers did when, from Chromium's own trace. */
import { readdirSync, readFileSync } from "node:fs";
import type { Browser, Page } from "playwright-core";

interface TraceEvent {
  readonly name: string;
  readonly cat: string;
  readonly ph: string;
  readonly ts: number;
  readonly dur?: number;
  readonly pid: number;
  readonly tid: number;
  readonly id?: string;
  readonly id2?: { readonly local?: string };
  readonly args?: { readonly name?: string };
}

/** Records until the answered function is called; that one gives the timeline as lines of text. */
export async function recordTimeline(browser: Browser, page: Page): Promise<() => Promise<string>> {
  await browser.startTracing(page, {
    categories: ["blink.user_timing", "devtools.timeline", "toplevel", "__metadata"],
  });
  const before = processorSeconds();
  return async () => {
    const after = processorSeconds();
    const { traceEvents } = JSON.parse((await browser.stopTracing()).toString()) as {
      traceEvents: TraceEvent[];
    };
    return [
      ...spansOf(traceEvents),
      "",
      ...longTasks(traceEvents),
      "",
      ...used(before, after),
    ].join("\n");
  };
}

const threadsOf = (events: readonly TraceEvent[]): Map<string, string> =>
  new Map(
    events
      .filter((event) => event.name === "thread_name")
      .map((event) => [`${event.pid}/${event.tid}`, event.args?.name ?? ""]),
  );

/** Every measured piece of work: thread, begin and length in ms from the first one on. */
function spansOf(events: readonly TraceEvent[]): string[] {
  const open = new Map<string, TraceEvent>();
  const threads = threadsOf(events);
  const spans: { at: number; ms: number; name: string; thread: string }[] = [];
  const timed = events.filter((event) => event.cat.includes("blink.user_timing"));
  for (const event of timed.sort((a, b) => a.ts - b.ts)) {
    const key = `${event.pid}/${event.id ?? event.id2?.local}/${event.name}`;
    if (event.ph === "b") {
      open.set(key, event);
    } else if (event.ph === "e") {
      const begin = open.get(key);
      const thread = `${threads.get(`${event.pid}/${event.tid}`)} ${event.tid}`;
      if (begin) {
        spans.push({ at: begin.ts, ms: (event.ts - begin.ts) / 1000, name: event.name, thread });
      }
    }
  }
  spans.sort((a, b) => a.at - b.at);
  return spans.map(
    ({ at, ms, name, thread }) =>
      `${((at - spans[0].at) / 1000).toFixed(0).padStart(7)} ms ${ms.toFixed(0).padStart(6)} ms  ` +
      `${name}  [${thread}]`,
  );
}

/** The longest tasks of the page's main thread, and what most of each was. */
function longTasks(events: readonly TraceEvent[]): string[] {
  const threads = threadsOf(events);
  const onMain = events.filter(
    (event) =>
      event.ph === "X" &&
      threads.get(`${event.pid}/${event.tid}`) === "CrRendererMain" &&
      event.dur,
  );
  const tasks = onMain
    .filter((event) => event.name === "ThreadControllerImpl::RunTask" || event.name === "RunTask")
    .sort((a, b) => (b.dur ?? 0) - (a.dur ?? 0))
    .slice(0, 6);
  return [
    "longest main-thread tasks:",
    ...tasks.map((task) => {
      const end = task.ts + (task.dur ?? 0);
      const parts = onMain
        .filter((event) => event !== task && event.pid === task.pid && event.ts >= task.ts)
        .filter((event) => event.ts + (event.dur ?? 0) <= end && (event.dur ?? 0) > 2000)
        .filter((event) => event.cat.includes("devtools"))
        .sort((a, b) => (b.dur ?? 0) - (a.dur ?? 0))
        .slice(0, 6)
        .map((event) => `${event.name} ${((event.dur ?? 0) / 1000).toFixed(0)}`);
      return `  ${((task.dur ?? 0) / 1000).toFixed(0)} ms: ${parts.join(", ")}`;
    }),
  ];
}

/** True where this process is among the ancestors. */
export function isOurs(pid: string): boolean {
  let at = pid;
  while (at !== "0" && at !== "1") {
    if (at === String(process.pid)) {
      return true;
    }
    const stat = readFileSync(`/proc/${at}/stat`, "utf8");
    at = stat.slice(stat.lastIndexOf(")") + 2).split(" ")[1];
  }
  return false;
}

/** Processor time of this run's Chromium threads, by kind of process and name of thread. */
function processorSeconds(): Map<string, number> {
  const seconds = new Map<string, number>();
  for (const pid of readdirSync("/proc").filter((name) => /^\d+$/.test(name))) {
    try {
      const command = readFileSync(`/proc/${pid}/cmdline`, "utf8");
      if (!/chrom/.test(command) || !isOurs(pid)) continue;
      const kind = /--type=([\w-]+)/.exec(command)?.[1] ?? "browser";
      for (const tid of readdirSync(`/proc/${pid}/task`)) {
        const stat = readFileSync(`/proc/${pid}/task/${tid}/stat`, "utf8");
        const name = stat.slice(stat.indexOf("(") + 1, stat.lastIndexOf(")"));
        const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
        const ticks = Number(fields[11]) + Number(fields[12]);
        seconds.set(`${kind}, ${name} ${tid}`, ticks / 100);
      }
    } catch {
      // The process has ended meanwhile.
    }
  }
  return seconds;
}

const used = (before: Map<string, number>, after: Map<string, number>): string[] => [
  "processor time, s:",
  ...[...after].flatMap(([name, value]) => {
    const spent = value - (before.get(name) ?? 0);
    return spent > 0.05 ? [`  ${name}: ${spent.toFixed(2)}`] : [];
  }),
];
