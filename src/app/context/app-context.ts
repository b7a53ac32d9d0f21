import { createContext, useContext, useRef } from "react";
import { useStore } from "zustand";
import { shallow } from "zustand/shallow";
import type { Engine } from "../engine/engine.ts";
import type { Sayings } from "../i18n/speech.ts";
import type { Translate } from "../i18n/translate.ts";
import type { Quantity, Units } from "../i18n/units.ts";
import type { JobSession } from "../session/job-session.ts";
import type { JobState } from "../state/job-state.ts";
import type { Settings } from "../store/database/schema.ts";

export type Show = (value: number, quantity: Quantity, decimals: number) => string;

/** What every screen may use. */
export interface AppContextValue extends Sayings {
  readonly t: Translate;
  readonly locale: string;
  readonly units: Units;
  readonly settings: Settings;
  readonly engine: Engine;
  changeSettings(change: Partial<Settings>): void;
  /** An amount that a hand sets, with its unit, in the chosen units and language. */
  show: Show;
  /** A measured value: never rounded to sixteenths of an inch. */
  showMeasured: Show;
  /** An uncertainty: never rounded to nothing. */
  showUncertainty: Show;
  /** An amount for the hand and, where that is rounded, the measured value behind it. */
  showBoth: Show;
  /** A number as it was stated, for instance a limit. */
  showStated(value: number, quantity: Quantity): string;
  /** Date and time in the chosen language. */
  when(iso: string): string;
}

export const AppContext = createContext<AppContextValue | null>(null);

export function useApp(): AppContextValue {
  const value = useContext(AppContext);
  if (!value) {
    throw new Error("A screen was drawn outside the app.");
  }
  return value;
}

export const JobContext = createContext<JobSession | null>(null);

/** The open job. Draws nothing again by itself: what is shown comes from {@link useJobState}. */
export function useSession(): JobSession {
  const session = useContext(JobContext);
  if (!session) {
    throw new Error("A job screen was drawn outside a job.");
  }
  return session;
}

/**
 * A part of the open job's state. The screen is drawn again only where that part is another one;
 * arrays and objects made by `select` are compared item by item, or as `same` says.
 */
export function useJobState<Part>(
  select: (state: JobState) => Part,
  same: (a: Part, b: Part) => boolean = shallow,
): Part {
  const shown = useRef<{ readonly part: Part } | null>(null);
  return useStore(useSession().store, (state) => {
    const part = select(state);
    if (shown.current === null || !same(shown.current.part, part)) {
      shown.current = { part };
    }
    return shown.current.part;
  });
}

/** For parts that are small and made anew at every change. */
export const sameContent = (a: unknown, b: unknown): boolean =>
  JSON.stringify(a) === JSON.stringify(b);

/** The open job and all of its state: drawn again at every change, so for small screens only. */
export function useJob(): { session: JobSession; state: JobState } {
  const session = useSession();
  return { session, state: useStore(session.store) };
}
