/** One importer in a thread of its own, so that a file over which it hangs can be told and ended. */
import { parentPort, workerData } from "node:worker_threads";
import { importers } from "./importers.ts";
import { runImporter } from "./run-importer.ts";

export interface FuzzOrder {
  readonly name: string;
  readonly cases: number;
  readonly seed: number;
  /** Counts the cases begun, for those who watch. */
  readonly begun: SharedArrayBuffer;
}

const { name, cases, seed, begun } = workerData.order as FuzzOrder;
const counter = new Int32Array(begun);
const importer = importers.find((item) => item.name === name);
if (!importer) throw new Error(`There is no importer ${name}.`);
console.error = () => undefined;
const tally = await runImporter(importer, cases, seed, () => Atomics.add(counter, 0, 1));
parentPort?.postMessage(tally);
