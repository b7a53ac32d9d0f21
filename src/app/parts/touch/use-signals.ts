import { useEffect, useRef } from "react";
import { signal } from "./signals.ts";

/**
 * A tone for every photo whose examination ends while the screen is open. `found`: photo ids with
 * true where boards were found in them. Silent until tones are turned on in the settings.
 */
export function useSignals(found: ReadonlyMap<string, boolean>, on: boolean): void {
  const known = useRef<ReadonlySet<string> | null>(null);
  useEffect(() => {
    const before = known.current;
    known.current = new Set(found.keys());
    if (!on || before === null) {
      return;
    }
    const fresh = [...found].filter(([id]) => !before.has(id));
    if (fresh.length > 0) {
      signal(fresh.every(([, boards]) => boards) ? "found" : "not found");
    }
  }, [found, on]);
}
