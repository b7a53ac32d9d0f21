import { loadShopSettings } from "./shop-database.ts";
import type { ShopSets } from "./shop-items.ts";

/** Not more often than this by itself, ms. */
const restMs = 5 * 60_000;
/** The page draws its first screen before anything else, ms. */
const firstAfterMs = 4000;

/**
 * Replicates by itself where a store is set: a while after the start, when the network comes back, and
 * when the app is looked at again. How it went stands on the Shop screen; returns how to end it.
 */
export function replicateByItself(
  sets: () => ShopSets | null,
  setSets: (sets: ShopSets) => void,
): () => void {
  let last = Number.NEGATIVE_INFINITY;
  const run = async () => {
    const present = sets();
    if (!navigator.onLine || document.hidden || !present || performance.now() - last < restMs)
      return;
    last = performance.now();
    if ((await loadShopSettings()) === null) return;
    // Its code is loaded only where it is needed.
    const { replicateNow } = await import("./replication.ts");
    await replicateNow(present, setSets);
  };
  // A browser that stores nothing has no store either; that is said elsewhere.
  const quietly = () => void run().catch((error: unknown) => console.warn(error));
  const timer = setTimeout(quietly, firstAfterMs);
  window.addEventListener("online", quietly);
  document.addEventListener("visibilitychange", quietly);
  return () => {
    clearTimeout(timer);
    window.removeEventListener("online", quietly);
    document.removeEventListener("visibilitychange", quietly);
  };
}
