import { localLight } from "./local-light.ts";
import { evaluateAll, fitAll, type PatternWorkspace } from "./pattern-passes.ts";
import type { Setup } from "./pattern-setup.ts";
import type { Solution } from "./pattern-solution.ts";
import { softRadii } from "./pattern-state.ts";
import { loadState, saveState } from "./pattern-step.ts";

/**
 * Where the parts of a board disagree: another radius of the phone's sharpening, and light of the
 * tiles' own, each where the grey values are more probable with it.
 */
export function withPhonesLight(
  setup: Setup,
  work: PatternWorkspace,
  first: Solution | null,
): Solution | null {
  if (!first?.misfit) return first;
  const { state, geometry } = setup;
  let best = first;
  const before = saveState(state);
  const radius = state.softRadiusPx;
  state.softRadiusPx = radius === softRadii.fine ? softRadii.wide : softRadii.fine;
  const other = fitAll(setup, work);
  const gain = other
    ? 0.5 * best.free * Math.log(best.squares / best.free / (other.squares / other.free))
    : 0;
  if (other && gain > leastRadiusEvidence) best = other;
  else {
    state.softRadiusPx = radius;
    loadState(state, before);
    if (!evaluateAll(setup, work)) return null;
  }
  const { squares, free, delta } = best;
  const light = localLight(geometry, work.memory, delta, {
    squares,
    free,
    contrast: state.gain[0],
  });
  if (!light) return best;
  const kept = saveState(state);
  geometry.localLight = light;
  const local = fitAll(setup, work);
  if (local) return local;
  geometry.localLight = null;
  loadState(state, kept);
  return evaluateAll(setup, work) ? best : null;
}

/** Growth of the log likelihood that another radius of sharpening must bring. */
const leastRadiusEvidence = 8;
