/** Tones and vibration for hands and eyes that are busy elsewhere: found, not found. */
export type Signal = "found" | "not found" | "alarm";

/** Two rising tones for found, one low long tone for not found; Hz and seconds. */
const tones: Readonly<Record<Signal, readonly (readonly [hertz: number, seconds: number])[]>> = {
  found: [
    [880, 0.09],
    [1320, 0.14],
  ],
  "not found": [[220, 0.45]],
  alarm: [
    [660, 0.2],
    [440, 0.2],
    [660, 0.2],
    [440, 0.2],
    [660, 0.2],
    [440, 0.4],
  ],
};
/** Vibration, pauses in between, ms. */
const buzzes: Readonly<Record<Signal, readonly number[]>> = {
  found: [60],
  "not found": [180, 90, 180],
  alarm: [400, 100, 400, 100, 400],
};

let context: AudioContext | null = null;

/** Browsers give sound only after a touch: called when tones are turned on and when photos are added. */
export function readySignals(): void {
  const Context = globalThis.AudioContext;
  if (Context && !context) {
    context = new Context();
  }
  void context?.resume();
}

export function signal(kind: Signal): void {
  navigator.vibrate?.([...buzzes[kind]]);
  if (context?.state !== "running") {
    return;
  }
  let at = context.currentTime;
  for (const [hertz, seconds] of tones[kind]) {
    const tone = context.createOscillator();
    const volume = context.createGain();
    tone.frequency.value = hertz;
    volume.gain.setValueAtTime(0.25, at);
    volume.gain.linearRampToValueAtTime(0, at + seconds);
    tone.connect(volume).connect(context.destination);
    tone.start(at);
    tone.stop(at + seconds);
    at += seconds + 0.04;
  }
}
