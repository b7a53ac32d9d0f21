/** A store that is asked again where the network or the store falters, after longer and longer waits. */
import { StoreFault } from "../faults/faults.ts";
import type { Store } from "./store.ts";

export interface Patience {
  /** Waits, ms; may end early when the network comes back. */
  wait(ms: number): Promise<void>;
  /** From 0 to 1: spreads the devices of a shop that all lost the same store. */
  random(): number;
  readonly attempts?: number;
}

const firstWaitMs = 500;
const longestWaitMs = 30_000;

/** How long to wait before attempt `n` (from 1): doubled each time, between half and all of it. */
export const waitBefore = (n: number, random: number): number =>
  Math.min(longestWaitMs, firstWaitMs * 2 ** (n - 1)) * (0.5 + random / 2);

export function patientStore(store: Store, { wait, random, attempts = 5 }: Patience): Store {
  const patiently = async <T>(question: () => Promise<T>): Promise<T> => {
    for (let n = 1; ; n++) {
      try {
        return await question();
      } catch (error) {
        if (!(error instanceof StoreFault) || !error.again || n >= attempts) throw error;
        await wait(waitBefore(n, random()));
      }
    }
  };
  return {
    address: store.address,
    list: (folder) => patiently(() => store.list(folder)),
    head: (path) => patiently(() => store.head(path)),
    get: (path) => patiently(() => store.get(path)),
    putIfAbsent: (path, bytes) => patiently(() => store.putIfAbsent(path, bytes)),
    replace: (path, bytes) => patiently(() => store.replace(path, bytes)),
    delete: (path) => patiently(() => store.delete(path)),
  };
}
