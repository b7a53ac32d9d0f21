/** Where the memory of the app's page process is: by allocator, and the largest mapped regions. */
import { readFileSync } from "node:fs";
import type { Browser, CDPSession } from "playwright-core";

interface Dump {
  readonly allocators?: Readonly<Record<string, { readonly attrs?: Record<string, Attribute> }>>;
}
interface Attribute {
  readonly type: string;
  readonly value: string;
}
interface TraceEvent {
  readonly ph: string;
  readonly pid: number;
  readonly args?: { readonly dumps?: Dump };
}

/** `dump` marks a moment, `stop` tells of all of them in their order. */
export async function recordMemory(browser: Browser) {
  const session: CDPSession = await browser.newBrowserCDPSession();
  const events: TraceEvent[] = [];
  session.on("Tracing.dataCollected", ({ value }) => {
    events.push(...(value as unknown as TraceEvent[]));
  });
  await session.send("Tracing.start", {
    transferMode: "ReportEvents",
    traceConfig: {
      recordMode: "recordAsMuchAsPossible",
      includedCategories: ["disabled-by-default-memory-infra"],
      memoryDumpConfig: { triggers: [] } as never,
    },
  });
  return {
    dump: async (): Promise<void> => {
      await session.send("Tracing.requestMemoryDump", { levelOfDetail: "detailed" });
    },
    stop: async (pid: number): Promise<string> => {
      const done = new Promise((resolve) => session.once("Tracing.tracingComplete", resolve));
      await session.send("Tracing.end");
      await done;
      const lines: string[] = [];
      for (const event of events.filter((one) => one.ph === "v" && one.pid === pid)) {
        lines.push("by allocator:", ...partsOf(event.args?.dumps));
      }
      return lines.join("\n");
    },
  };
}

function partsOf(dump: Dump | undefined): string[] {
  const sizes = Object.entries(dump?.allocators ?? {}).flatMap(([name, { attrs }]) => {
    const size = attrs?.effective_size ?? attrs?.size;
    return size ? [{ name, mb: Number.parseInt(size.value, 16) / 1e6 }] : [];
  });
  return sizes
    .filter(({ name, mb }) => mb > 3 && name.split("/").length <= 5)
    .sort((a, b) => (a.name < b.name ? -1 : 1))
    .map(({ name, mb }) => `  ${mb.toFixed(1).padStart(7)} MB  ${name}`);
}

/** The largest mapped regions of a process by what of them is in memory, MB. */
export function regionsOf(pid: number, atLeastMb = 4): string[] {
  const smaps = readFileSync(`/proc/${pid}/smaps`, "utf8").split("\n");
  const regions: { name: string; rss: number }[] = [];
  for (const line of smaps) {
    const head = /^([0-9a-f]+)-([0-9a-f]+) (\S+) \S+ \S+ \d+\s*(.*)$/.exec(line);
    if (head) {
      const size = (Number.parseInt(head[2], 16) - Number.parseInt(head[1], 16)) / 1e6;
      regions.push({ name: `${head[3]} ${size.toFixed(0)} MB ${head[4]}`, rss: 0 });
    }
    const rss = /^Rss:\s+(\d+) kB/.exec(line);
    if (rss) regions[regions.length - 1].rss = Number(rss[1]) / 1000;
  }
  return regions
    .filter(({ rss }) => rss >= atLeastMb)
    .sort((a, b) => b.rss - a.rss)
    .map(({ name, rss }) => `  ${rss.toFixed(1).padStart(7)} MB  ${name}`);
}
