import { useEffect } from "react";

/** Keeps the screen on while it is in sight; asked for again after the phone comes back to it. */
export function useAwake(): void {
  useEffect(() => {
    let lock: WakeLockSentinel | null = null;
    let left = false;
    const ask = () => {
      if (document.visibilityState !== "visible" || (lock && !lock.released)) {
        return;
      }
      // A low battery or an old browser says no: then the screen sleeps as it always did.
      navigator.wakeLock?.request("screen").then(
        (held) => {
          lock = held;
          if (left) {
            void held.release();
          }
        },
        () => {},
      );
    };
    ask();
    document.addEventListener("visibilitychange", ask);
    return () => {
      left = true;
      document.removeEventListener("visibilitychange", ask);
      void lock?.release();
    };
  }, []);
}
