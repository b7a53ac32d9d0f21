import { type ReactNode, useDeferredValue } from "react";

/**
 * Draws its content after the rest of the screen, in slices: what a person reads first is there
 * first, and no single piece of work holds up a touch.
 */
export function Later({ children }: { readonly children: ReactNode }) {
  return useDeferredValue(children, null);
}
