import fc from "fast-check";
import type { Importer } from "./importers.ts";
import { byteChanges, valueChanges, withByteChanges, withValueChanges } from "./mutations.ts";

export interface Crash {
  readonly importer: string;
  readonly message: string;
  /** The file, base64, to try it again. */
  readonly file: string;
}

export interface Tally {
  readonly cases: number;
  /** Files that were taken in spite of their changes. */
  readonly taken: number;
  readonly crashes: readonly Crash[];
  /** The longest that one file took, ms of this thread. */
  readonly slowestMs: number;
}

/** Spoils the importer's good files in `cases` ways; `onCase` is told before each one. */
export async function runImporter(
  importer: Importer,
  cases: number,
  seed: number,
  onCase: () => void = () => undefined,
): Promise<Tally> {
  const seeds = await importer.seeds();
  if (seeds.length === 0) throw new Error(`${importer.name} has no good file to begin from.`);
  await needTaken(importer, seeds);
  const crashes: Crash[] = [];
  let taken = 0;
  let done = 0;
  let slowestMs = 0;
  const property = fc.asyncProperty(
    fc.nat(seeds.length - 1),
    fc.boolean(),
    byteChanges,
    valueChanges,
    async (at, inBytes, bytesChanged, valuesChanged) => {
      const good = seeds[at];
      const file =
        good instanceof Uint8Array
          ? withByteChanges(good, bytesChanged)
          : inBytes
            ? withByteChanges(bytesOf(JSON.stringify(good.json)), bytesChanged)
            : bytesOf(withValueChanges(good.json, valuesChanged));
      onCase();
      done++;
      const start = performance.now();
      try {
        if (await importer.read(file)) taken++;
      } catch (error) {
        const message = error instanceof Error ? `${error.name}: ${error.message}` : String(error);
        crashes.push({ importer: importer.name, message, file: base64(file) });
      }
      slowestMs = Math.max(slowestMs, performance.now() - start);
      if (isPolluted()) {
        crashes.push({ importer: importer.name, message: "polluted", file: base64(file) });
        delete (Object.prototype as Record<string, unknown>).polluted;
      }
    },
  );
  await fc.assert(property, { numRuns: cases, seed });
  return { cases: done, taken, crashes, slowestMs };
}

/** A fuzzer that begins from refused files would test nothing but the first check. */
async function needTaken(
  importer: Importer,
  seeds: Awaited<ReturnType<Importer["seeds"]>>,
): Promise<void> {
  const taken = await Promise.all(
    seeds.map((good) =>
      importer.read(good instanceof Uint8Array ? good : bytesOf(JSON.stringify(good.json))),
    ),
  );
  if (!taken.includes(true)) throw new Error(`${importer.name} refuses all of its good files.`);
}

const bytesOf = (text: string): Uint8Array => new TextEncoder().encode(text);
const base64 = (bytes: Uint8Array): string => Buffer.from(bytes).toString("base64").slice(0, 4000);

const clean = JSON.stringify(Object.getOwnPropertyNames(Object.prototype));
const isPolluted = (): boolean =>
  "polluted" in {} || JSON.stringify(Object.getOwnPropertyNames(Object.prototype)) !== clean;
