import { createStore } from "zustand/vanilla";
import { NotSaved, reasonOf, type SavedThing } from "../store/database/not-saved.ts";

/** Something that failed where no screen waited for it. */
export interface Failure {
  readonly key: string;
  /** What was not saved; null for a fault of the program itself. */
  readonly thing: SavedThing | null;
  readonly called: string;
  readonly reason: string;
}

/** All failures that nobody has read yet, the same one once. Every screen shows them. */
export const failures = createStore<readonly Failure[]>(() => []);

/** At most this many lines; the first ones say most. */
const mostLines = 8;

/** Puts a failure in front of the person who works here. */
export function reportFailure(error: unknown): void {
  console.error(error);
  const thing = error instanceof NotSaved ? error.thing : null;
  const called = error instanceof NotSaved ? error.called : "";
  const reason = reasonOf(error instanceof NotSaved ? error.cause : error);
  const failure = { key: `${thing}/${called}/${reason}`, thing, called, reason };
  const known = failures.getState();
  if (known.length < mostLines && known.every(({ key }) => key !== failure.key)) {
    failures.setState([...known, failure], true);
  }
}

export const forgetFailures = (): void => failures.setState([], true);

/** For work that nobody waits for: its failure is shown instead of lost. */
export function inBackground(work: Promise<unknown>): void {
  work.catch(reportFailure);
}

/** The last resort: what no other part has caught is shown, too. */
export function watchFailures(target: EventTarget): void {
  target.addEventListener("unhandledrejection", (event) => {
    event.preventDefault();
    reportFailure((event as PromiseRejectionEvent).reason);
  });
}
