import type { StateView } from "../problem/problem.ts";

/**
 * Remembers what a costly function of the state gave for each state: many quantities are functions
 * of the same few lines and poses, and their derivatives ask for the same moved states. A state that
 * a view shows never changes, so the memory never goes stale.
 */
export const perState = <T>(compute: (state: StateView) => T): ((state: StateView) => T) => {
  const known = new WeakMap<StateView, { readonly value: T }>();
  return (state) => {
    const found = known.get(state);
    if (found) return found.value;
    const value = compute(state);
    known.set(state, { value });
    return value;
  };
};
