import { loadShopSettings } from "./shop-database.ts";
import type { ShopSets } from "./shop-items.ts";

/** Not more often than this by itself, ms; two people on one job wait for each other's photos. */
const restMs = { alone: 5 * 60_000, sharedJob: 20_000 };
/** The page draws its first screen before anything else, ms. */
const firstAfterMs = 4000;

/**
 * Replicates by itself where a store is set: a while after the start, when the network comes back, when
 * the app is looked at again, and while it is looked at, often where a job is shared. How it went stands on the Shop screen; returns how to end it.
 */
export function replicateByItself(
  sets: () => ShopSets | null,
  setSets: (sets: ShopSets) => void,
): () => void {
  let last = Number.NEGATIVE_INFINITY;
  const run = async () => {
    const present = sets();
    const rested = performance.now() - last;
    if (!navigator.onLine || document.hidden || !present || rested < restMs.sharedJob) return;
    const settings = await loadShopSettings();
    const rest = (settings?.sharedJobs.length ?? 0) > 0 ? restMs.sharedJob : restMs.alone;
    if (settings === null || rested < rest) return;
    last = performance.now();
    // Its code is loaded only where it is needed.
    const { replicateNow } = await import("./replication.ts");
    await replicateNow(present, setSets);
  };
  // A browser that stores nothing has no store either; that is said elsewhere.
  const quietly = () => void run().catch((error: unknown) => console.warn(error));
  const timer = setTimeout(quietly, firstAfterMs);
  const again = setInterval(quietly, restMs.sharedJob);
  window.addEventListener("online", quietly);
  document.addEventListener("visibilitychange", quietly);
  return () => {
    clearTimeout(timer);
    clearInterval(again);
    window.removeEventListener("online", quietly);
    document.removeEventListener("visibilitychange", quietly);
  };
}
