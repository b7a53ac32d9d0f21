import { useCallback, useRef, useState } from "react";

/** Changes that come in quick succession (typing one number) are taken back together, ms. */
const togetherMs = 1200;
/** Enough for every slip of the finger, and no weight in memory. */
const mostKept = 100;

/** Every change to a value can be taken back, as long as the screen is open. */
export function useUndo<Value>(
  value: Value,
  setValue: (value: Value) => void,
): { readonly change: (next: Value, what?: string) => void; readonly undo: (() => void) | null } {
  const [before, setBefore] = useState<readonly Value[]>([]);
  const last = useRef({ at: 0, what: "" });
  const change = useCallback(
    (next: Value, what = "") => {
      const now = Date.now();
      const together =
        what !== "" && what === last.current.what && now - last.current.at < togetherMs;
      last.current = { at: now, what };
      if (!together) {
        setBefore((list) => [...list.slice(-mostKept), value]);
      }
      setValue(next);
    },
    [value, setValue],
  );
  const undo = useCallback(() => {
    last.current = { at: 0, what: "" };
    setValue(before[before.length - 1]);
    setBefore(before.slice(0, -1));
  }, [before, setValue]);
  return { change, undo: before.length > 0 ? undo : null };
}
