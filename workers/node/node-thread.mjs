// Entry of every worker thread in Node: teaches the thread TypeScript, then loads the worker that
// `workerData` names (a module beside this file).
import { workerData } from "node:worker_threads";
import { register } from "tsx/esm/api";

register();
await import(new URL(workerData.module, import.meta.url).href);
