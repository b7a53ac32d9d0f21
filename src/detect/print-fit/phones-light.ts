import { localLight } from "./local-light.ts";
import { evaluateAll, fitAll, fitLight, type PatternWorkspace } from "./pattern-passes.ts";
import type { Setup } from "./pattern-setup.ts";
import type { Solution } from "./pattern-solution.ts";
import { softRadii } from "./pattern-state.ts";
import { loadState, saveState } from "./pattern-step.ts";

/**
 * Where the parts of a board disagree: another radius of the phone's sharpening, and light of the
 * tiles' own, each where the grey values are more probable with it. Null where a pass fails.
 */
export function withPhonesLight(
  setup: Setup,
  work: PatternWorkspace,
  first: Solution | null,
): Solution | null {
  if (!first?.misfit) return first;
  const best = withBestRadius(setup, work, first);
  if (!best) return null;
  const { state, geometry } = setup;
  const light = localLight(geometry, work.memory, best.delta, {
    squares: best.squares,
    free: best.free,
    contrast: state.gain[0],
  });
  if (!light) return best;
  const before = saveState(state);
  geometry.localLight = light;
  const local = fitLight(setup, work);
  if (local) return local;
  geometry.localLight = null;
  loadState(state, before);
  return evaluateAll(setup, work) ? best : null;
}

/** Growth of the log likelihood that another radius of sharpening must bring. */
const leastEvidence = 8;
/** Less sharpening than this leaves no halo to speak of. */
const leastSharpening = 0.03;

/** One phone sharpens all of a photo alike: what a board has clearly decided is not asked again. */
function withBestRadius(setup: Setup, work: PatternWorkspace, fit: Solution): Solution | null {
  const { state } = setup;
  if (work.radiusKnown || Math.abs(state.sharpening) < leastSharpening) return fit;
  const before = saveState(state);
  const radius = state.softRadiusPx;
  state.softRadiusPx = radius === softRadii.fine ? softRadii.wide : softRadii.fine;
  const other = fitAll(setup, work);
  const ratio = other ? fit.squares / fit.free / (other.squares / other.free) : 0;
  const evidence = 0.5 * fit.free * Math.log(ratio);
  work.radiusKnown = Math.abs(evidence) > leastEvidence;
  if (other && evidence > leastEvidence) return other;
  state.softRadiusPx = radius;
  loadState(state, before);
  return evaluateAll(setup, work) ? fit : null;
}
