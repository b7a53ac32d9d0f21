import { type Remote, wrap } from "comlink";
import type { RecordWorker } from "./record-worker.ts";

let remote: Remote<RecordWorker> | null = null;

/** The one worker for records, started at first use. */
export function recordTasks(): Remote<RecordWorker> {
  remote ??= wrap<RecordWorker>(
    new Worker(new URL("./record-worker.ts", import.meta.url), { type: "module" }),
  );
  return remote;
}
