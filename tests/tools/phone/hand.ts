/**
 * How the phone moves while a photo is taken: slow drift and tremor in all six numbers, as a
 * function of time. Time 0 is the middle of the exposure of the middle row.
 */
import { type Chance, chain, type Rigid, rad, turn, type V3 } from "./maths.ts";
import { handRanges as ranges } from "./ranges.ts";

interface Tremor {
  readonly hz: number;
  readonly amplitude: number;
  readonly phase: number;
}

export interface Hand {
  /** Turn about the phone's own axes, rad/s, and shift along them, mm/s. */
  readonly turning: V3;
  readonly moving: V3;
  /** One tremor per axis: three turns (rad), three shifts (mm). */
  readonly tremor: readonly Tremor[];
}

export const still: Hand = { turning: [0, 0, 0], moving: [0, 0, 0], tremor: [] };

/** How one person holds a phone: the spread of the motions of his photos. */
export interface Holding {
  readonly driftDegPerS: number;
  readonly driftMmPerS: number;
  readonly tremorDeg: number;
  readonly tremorMm: number;
}

export const drawHolding = (c: Chance): Holding => ({
  driftDegPerS: c.even(...ranges.driftDegPerS),
  driftMmPerS: c.even(...ranges.driftMmPerS),
  tremorDeg: c.even(...ranges.tremorDeg),
  tremorMm: c.even(...ranges.tremorMm),
});

/** No motion at all. */
export const onTripod: Holding = { driftDegPerS: 0, driftMmPerS: 0, tremorDeg: 0, tremorMm: 0 };
/** Photographed from a cart that is pushed along: far beyond what any hand does. */
export const onCart: Holding = {
  driftDegPerS: 8,
  driftMmPerS: 600,
  tremorDeg: 0.03,
  tremorMm: 0.3,
};

/** The motion of one photo. Drift figures are lengths over three axes, so each has 1/sqrt(3). */
export const drawHand = (holding: Holding, c: Chance): Hand => {
  const axis = (sd: number): V3 => [
    c.normal(sd / Math.sqrt(3)),
    c.normal(sd / Math.sqrt(3)),
    c.normal(sd / Math.sqrt(3)),
  ];
  const tremor = Array.from({ length: 6 }, (_, i) => ({
    hz: c.even(...ranges.tremorHz),
    amplitude: (i < 3 ? rad(holding.tremorDeg) : holding.tremorMm) * c.even(0.5, 1.5),
    phase: c.even(0, 2 * Math.PI),
  }));
  return {
    turning: axis(rad(holding.driftDegPerS)),
    moving: axis(holding.driftMmPerS),
    tremor,
  };
};

/** Turn vector (rad) and shift (mm) of the phone against its pose at time 0. */
export const motionAt = (hand: Hand, t: number): { turned: V3; moved: V3 } => {
  const at = (axis: number): number => {
    const swing = hand.tremor[axis];
    if (!swing) return 0;
    const { hz, amplitude, phase } = swing;
    return amplitude * (Math.sin(2 * Math.PI * hz * t + phase) - Math.sin(phase));
  };
  const w = hand.turning;
  const m = hand.moving;
  return {
    turned: [w[0] * t + at(0), w[1] * t + at(1), w[2] * t + at(2)],
    moved: [m[0] * t + at(3), m[1] * t + at(4), m[2] * t + at(5)],
  };
};

/** Pose of the camera at time t, from its pose at time 0. */
export const poseAt = (worldFromCamera: Rigid, hand: Hand, t: number): Rigid => {
  const { turned, moved } = motionAt(hand, t);
  return chain(worldFromCamera, { q: turn(turned), p: moved });
};
