import { inBackground } from "../state/failures.ts";
import { holdByMessages, type LockEvents } from "./lock-by-messages.ts";

/**
 * One tab writes a job, others only look. A tab that has to wait gets the job as soon as the other
 * gives it up. Web Locks need a secure origin; on plain http in the local network the tabs agree
 * among themselves by messages.
 */

const nameOf = (jobId: string): string => `plumbshot-job-${jobId}`;

/**
 * Asks for the right to write a job until `signal` aborts. Resolves once it is known whether it is
 * held at once; later changes come as events.
 */
export async function holdJobLock(
  jobId: string,
  takeOver: boolean,
  signal: AbortSignal,
  events: LockEvents,
): Promise<void> {
  if (!("locks" in navigator)) {
    await holdByMessages(nameOf(jobId), takeOver, signal, events);
    return;
  }
  const untilGivenUp = () =>
    new Promise<void>((resolve) => {
      signal.addEventListener("abort", () => resolve(), { once: true });
    });
  await new Promise<void>((known) => {
    const options: LockOptions = takeOver ? { steal: true } : { ifAvailable: true };
    const request = navigator.locks.request(nameOf(jobId), options, async (lock) => {
      (lock ? events.onHeld : events.onWaiting)();
      known();
      if (lock && !signal.aborted) {
        await untilGivenUp();
      }
      return lock !== null;
    });
    request.then(
      (had) => {
        if (!had && !signal.aborted) {
          inBackground(waitForLock(jobId, signal, events, untilGivenUp));
        }
      },
      () => {
        // Taken over by another tab.
        events.onWaiting();
        inBackground(waitForLock(jobId, signal, events, untilGivenUp));
      },
    );
  });
}

/**
 * A page that is going away is refused every lock at once, and WebKit lets it try again and again
 * without end. Its timers stand still, so that each try waits for one.
 */
const pauseMs = 50;

async function waitForLock(
  jobId: string,
  signal: AbortSignal,
  events: LockEvents,
  untilGivenUp: () => Promise<void>,
): Promise<void> {
  for (;;) {
    await new Promise((resolve) => setTimeout(resolve, pauseMs));
    if (signal.aborted) {
      return;
    }
    try {
      await navigator.locks.request(nameOf(jobId), { signal }, async () => {
        if (!signal.aborted) {
          events.onHeld();
          await untilGivenUp();
        }
      });
      return;
    } catch {
      if (!signal.aborted) {
        events.onWaiting();
      }
    }
  }
}
