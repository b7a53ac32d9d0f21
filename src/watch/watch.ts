/**
 * Watches boards through a phone on a tripod: every measurement tells where each board stands against
 * the reference of the first seconds, what all of them did together (the phone was touched), and what
 * is left. Nothing that is measured here enters the job's numbers: it says whether something moved.
 */
import { roleOf } from "../boards/kit.ts";
import type { BoardView } from "../detect/findings/findings.ts";
import { chiSquareQuantile } from "../maths/statistics.ts";
import { type CommonMovement, commonMovement, ownMovement, type Seen } from "./common.ts";
import { decide, type Found, type Limits, levelOf, type Step, windows } from "./decide.ts";
import { type BoardReference, movementOf, referenceOf } from "./movement.ts";
import { NoiseFactor } from "./noise.ts";

export interface WatchSettings extends Limits {
  /** Side of a cell on the print, mm, by board. */
  readonly cellMm: (board: number) => number;
  /** Focal length of the stream, px; null for a phone's usual one. It scales depths only. */
  readonly focalPx: number | null;
  /** Measurements an hour. */
  readonly perHour: number;
}

export const usualSettings: Omit<WatchSettings, "cellMm"> = {
  sidewaysMm: 0.3,
  depthMm: 1.2,
  falseAlarmsPerHour: 0.05,
  focalPx: null,
  perHour: 3600,
};

export interface Measurement {
  /** ms since the watch began. */
  readonly at: number;
  readonly width: number;
  readonly height: number;
  readonly boards: readonly BoardView[];
}

export type WatchEvent =
  | { readonly kind: "watching"; readonly at: number; readonly boards: readonly number[] }
  | ({ readonly kind: "moved"; readonly at: number; readonly body: Body } & Found)
  | { readonly kind: "phone moved"; readonly at: number; readonly px: number }
  /** The phone moved so far that everything begins anew; what moved meanwhile is not known. */
  | { readonly kind: "begun anew"; readonly at: number }
  | {
      readonly kind: "hidden";
      readonly at: number;
      readonly board: number;
      readonly seconds: number;
    };

/** A board, or all boards of the stand as one piece. */
export type Body = number | "stand";

export interface BoardNow {
  readonly id: number;
  /** mm right, down, away; null where the board is not seen now. */
  readonly mm: readonly [number, number, number] | null;
  /** Expanded uncertainty (k = 2) of one measurement, mm. */
  readonly band: readonly [number, number, number];
}

export interface WatchState {
  readonly phase: "settling" | "watching";
  /** Measurements still wanted before watching begins. */
  readonly toSettle: number;
  readonly boards: readonly BoardNow[];
  readonly events: readonly WatchEvent[];
  /** False where no board besides the stand's is seen: a touched phone then looks like a moved stand. */
  readonly anchored: boolean;
}

/** Measurements that the reference is made of. */
export const referenceCount = 12;
/**
 * Of those at least so many show all boards together, and these alone are taken: the whole picture
 * sways, and a board seen at other moments than the rest would start out of place against them.
 */
const leastTogether = 6;
/** A phone's focal length over the longer side of its picture; common practice, no source. */
const usualFocalShare = 0.75;
/** Drift that no noise tells of (stabiliser, warming), px, and by growth over half a board: then and now. */
const driftPx = 0.003;
/** A covered or doubtful board is not measured. */
const coveredShare = 0.06;
/** Chance that anchors misfit this much although none moved. */
const misfitLevel = 1e-7;
/** Shift of the whole picture that counts as a touched phone, px, twice in a row. */
const bumpPx = 0.7;
/** A board hidden for longer than this is named, s. */
const hiddenSeconds = 5;

export class Watch {
  private settled: Measurement[] = [];
  /** Measurements behind the present references. */
  private referencesOf = referenceCount;
  private references = new Map<number, BoardReference>();
  private noise = new NoiseFactor();
  private steps = new Map<Body, Step[]>();
  private before = new Map<number, { at: number; own: number[]; stated: number[] }>();
  private lastSeen = new Map<number, number>();
  private named = new Set<number>();
  private told = new Map<Body, Found>();
  private still: readonly number[] = [0, 0];
  private bumps = 0;
  private lost = 0;

  constructor(private readonly settings: WatchSettings) {}

  push(measurement: Measurement): WatchState {
    const usable = {
      ...measurement,
      boards: measurement.boards.filter(({ quality }) => quality.coveredShare < coveredShare),
    };
    if (this.references.size === 0) return this.settle(usable);
    return this.measure(usable);
  }

  private settle(measurement: Measurement): WatchState {
    if (measurement.boards.length > 0) this.settled.push(measurement);
    this.settled = this.settled.slice(-referenceCount);
    const boards = seenMostly(this.settled);
    const together = this.settled.filter(({ boards: seen }) =>
      boards.every((id) => seen.some((view) => view.id === id)),
    );
    const waiting: WatchState = {
      phase: "settling",
      toSettle: Math.max(1, referenceCount - this.settled.length),
      boards: measurement.boards.map(({ id }) => ({ id, mm: null, band: [0, 0, 0] })),
      events: [],
      anchored: true,
    };
    const enough = this.settled.length === referenceCount && together.length >= leastTogether;
    if (!enough || boards.length === 0) return waiting;
    this.referencesOf = together.length;
    for (const id of boards) {
      const views = together.flatMap(({ boards: seen }) => seen.filter((view) => view.id === id));
      this.references.set(id, referenceOf(views));
    }
    for (const one of this.settled) this.learn(one.at, this.seenIn(one), middleOf(one));
    this.settled = [];
    return {
      ...waiting,
      phase: "watching",
      toSettle: 0,
      events: [{ kind: "watching", at: measurement.at, boards }],
    };
  }

  private measure(measurement: Measurement): WatchState {
    const { at } = measurement;
    const middle = middleOf(measurement);
    const events: WatchEvent[] = [];
    const stated = this.seenIn(measurement);
    let seen = stated.map((one) => this.widened(one));
    const anchors = seen.filter(({ reference }) => !isStand(reference.id));
    const kept = this.fittingAnchors(anchors, middle);
    if (kept === null) {
      // Twice in a row, so that somebody walking past does not throw the reference away.
      if (++this.lost < 3) seen = [];
      else return this.beginAnew(at);
    } else this.lost = 0;
    const holders = kept ?? [];
    // Floor boards that are hidden just now leave nothing to measure against.
    if (holders.length === 0 && [...this.references.keys()].some((id) => !isStand(id))) seen = [];
    const common = commonMovement(holders.length > 0 ? holders : seen, middle);
    if (common && holders.length > 0) events.push(...this.bumped(at, common));
    for (const one of seen) {
      const { id } = one.reference;
      const others = holders.filter((holder) => holder !== one);
      const base = holders.includes(one)
        ? others.length > 0
          ? commonMovement(others, middle)
          : null
        : common;
      this.addStep(id, at, one, base, middle, holders.length > 0);
    }
    if (holders.length > 0) this.addStand(at);
    this.learn(at, stated, middle);
    events.push(...this.alarms(at), ...this.hidden(at, stated));
    return {
      phase: "watching",
      toSettle: 0,
      boards: [...this.references.keys()].map((id) => this.boardNow(id, at)),
      events,
      anchored: [...this.references.keys()].some((id) => !isStand(id)),
    };
  }

  private seenIn({ boards }: Measurement): Seen[] {
    return boards.flatMap((view) => {
      const reference = this.references.get(view.id);
      const movement = reference && movementOf(reference, view);
      return reference && movement ? [{ reference, movement, lasting: [0, 0, 0, 0] }] : [];
    });
  }

  /** Anchors without the one that moved by itself; null where they contradict each other. */
  private fittingAnchors(
    anchors: readonly Seen[],
    middle: readonly [number, number],
  ): readonly Seen[] | null {
    if (anchors.length < 2 || this.fits(anchors, middle)) return anchors;
    if (anchors.length < 3) return null;
    const misfitOf = (part: readonly Seen[]) =>
      commonMovement(part, middle)?.misfit ?? Number.POSITIVE_INFINITY;
    const parts = anchors.map((left) => anchors.filter((one) => one !== left));
    const best = parts.reduce((a, b) => (misfitOf(a) <= misfitOf(b) ? a : b));
    return this.fits(best, middle) ? best : null;
  }

  private fits(anchors: readonly Seen[], middle: readonly [number, number]): boolean {
    const misfit = commonMovement(anchors, middle)?.misfit ?? null;
    const degrees = 4 * anchors.length - 4;
    return misfit === null || misfit * degrees < chiSquareQuantile(1 - misfitLevel, degrees);
  }

  /** With the real noise, the reference's own and the drift instead of the print fit's word. */
  private widened({ reference, movement }: Seen): Seen {
    const factor = this.noise.variance(reference.id);
    const half = halfOf(reference.pixels);
    const drifts = [driftPx, driftPx, driftPx / half, driftPx / half];
    const variances = drifts.map((drift, i) => {
      return (factor * movement.covariance[5 * i]) / this.referencesOf + 2 * drift ** 2;
    });
    const covariance = movement.covariance.map((value, i) => {
      return factor * value + (i % 5 === 0 ? variances[i / 5] : 0);
    });
    const [a, b, c, d] = variances;
    return { reference, movement: { ...movement, covariance }, lasting: [a, b, c, d] };
  }

  private addStep(
    body: number,
    at: number,
    one: Seen,
    base: CommonMovement | null,
    middle: readonly [number, number],
    anchored: boolean,
  ): void {
    if (anchored && base === null) return;
    const { movement: own, lasting } = base && anchored ? ownMovement(one, base, middle) : one;
    const scale = this.scaleOf(one.reference, middle);
    const shared = triple((k) => lasting[k] * scale[k] ** 2);
    this.keep(body, {
      at,
      mm: triple((k) => [own.dx, own.dy, own.growth][k] * scale[k]),
      variance: triple((k) => own.covariance[5 * k] * scale[k] ** 2 - shared[k]),
      shared,
      degrees: this.noise.degrees(body),
    });
  }

  /** The stand's boards as one piece: the mean of what they say, each by its weight. */
  private addStand(at: number): void {
    const parts = [...this.steps].flatMap(([body, list]) => {
      const last = list.at(-1);
      return typeof body === "number" && isStand(body) && last?.at === at ? [last] : [];
    });
    if (parts.length < 2) return;
    const weights = parts.map(({ variance }) => variance.map((value) => 1 / value));
    const total = triple((k) => weights.reduce((sum, own) => sum + own[k], 0));
    this.keep("stand", {
      at,
      mm: triple(
        (k) => parts.reduce((sum, { mm }, i) => sum + mm[k] * weights[i][k], 0) / total[k],
      ),
      variance: triple((k) => 1 / total[k]),
      shared: triple(
        (k) => parts.reduce((sum, { shared }) => sum + shared[k], 0) / parts.length / parts.length,
      ),
      degrees: parts.reduce((sum, { degrees }) => sum + degrees, 0),
    });
  }

  private keep(body: Body, step: Step): void {
    const list = this.steps.get(body) ?? [];
    this.steps.set(body, [...list, step].slice(-Math.max(...windows)));
  }

  /** mm for one px right, one px down and for growth by one. */
  private scaleOf(
    { id, cellPx }: BoardReference,
    middle: readonly [number, number],
  ): [number, number, number] {
    const mmPerPx = this.settings.cellMm(id) / cellPx;
    const focal = this.settings.focalPx ?? usualFocalShare * 2 * Math.max(...middle);
    return [mmPerPx, mmPerPx, -focal * mmPerPx];
  }

  /** Differences to the measurement before, without what all boards did together. */
  private learn(at: number, seen: readonly Seen[], middle: readonly [number, number]): void {
    const common = commonMovement(seen, middle);
    if (!common || seen.length < 2) return;
    for (const one of seen) {
      const { id } = one.reference;
      const own = ownMovement(one, common, middle).movement;
      const values = [own.dx, own.dy, own.growth];
      // The common movement is made of this board, too: its part of the noise is missing in the rest.
      const stated = [0, 5, 10].map((i) =>
        Math.max(
          2 * one.movement.covariance[i] - own.covariance[i],
          0.2 * one.movement.covariance[i],
        ),
      );
      const last = this.before.get(id);
      if (last) {
        const ratios = values.map(
          (value, k) => (value - last.own[k]) ** 2 / (stated[k] + last.stated[k]),
        );
        this.noise.add(id, ratios);
      }
      this.before.set(id, { at, own: values, stated });
    }
  }

  private bumped(at: number, { values: [x, y] }: CommonMovement): WatchEvent[] {
    const px = Math.hypot(x - this.still[0], y - this.still[1]);
    if (px < bumpPx) {
      this.bumps = 0;
      // Slow drift is followed.
      this.still = [0, 1].map((k) => this.still[k] + 0.05 * ([x, y][k] - this.still[k]));
      return [];
    }
    if (++this.bumps < 2) return [];
    this.bumps = 0;
    this.still = [x, y];
    return [{ kind: "phone moved", at, px }];
  }

  private beginAnew(at: number): WatchState {
    this.references = new Map();
    this.steps.clear();
    this.before.clear();
    this.lastSeen.clear();
    this.told.clear();
    this.still = [0, 0];
    this.lost = 0;
    return {
      phase: "settling",
      toSettle: referenceCount,
      boards: [],
      events: [{ kind: "begun anew", at }],
      anchored: true,
    };
  }

  /** A body is told of once, and again when it has moved on by more than the job allows. */
  private alarms(at: number): WatchEvent[] {
    const { settings } = this;
    const level = levelOf(settings, this.references.size + 1, settings.perHour);
    const found: (WatchEvent & { kind: "moved" })[] = [];
    for (const [body, steps] of this.steps) {
      if (steps.at(-1)?.at !== at) continue;
      const now = decide(steps, settings, level);
      const before = this.told.get(body);
      const further =
        now &&
        (!before ||
          Math.abs(now.sidewaysMm - before.sidewaysMm) >
            Math.max(settings.sidewaysMm, now.sidewaysU) ||
          Math.abs(now.depthMm - before.depthMm) > Math.max(settings.depthMm, now.depthU));
      if (!now || !further) continue;
      this.told.set(body, now);
      found.push({ kind: "moved", at, body, ...now });
    }
    return found;
  }

  private hidden(at: number, seen: readonly Seen[]): WatchEvent[] {
    for (const { reference } of seen) {
      this.lastSeen.set(reference.id, at);
      this.named.delete(reference.id);
    }
    return [...this.references.keys()].flatMap((board) => {
      const seconds = (at - (this.lastSeen.get(board) ?? at)) / 1000;
      if (!this.lastSeen.has(board)) this.lastSeen.set(board, at);
      if (seconds < hiddenSeconds || this.named.has(board)) return [];
      this.named.add(board);
      return [{ kind: "hidden" as const, at, board, seconds: Math.round(seconds) }];
    });
  }

  private boardNow(id: number, at: number): BoardNow {
    const last = this.steps.get(id)?.at(-1);
    if (!last) return { id, mm: null, band: [0, 0, 0] };
    const band = triple((k) => 2 * Math.sqrt(last.variance[k] + last.shared[k]));
    return { id, mm: last.at === at ? last.mm : null, band };
  }
}

export const isStand = (board: number): boolean => roleOf(board)?.kind === "stand";

/** Boards that most of the measurements show. */
function seenMostly(measurements: readonly Measurement[]): number[] {
  const counts = new Map<number, number>();
  for (const { id } of measurements.flatMap(({ boards }) => boards)) {
    counts.set(id, (counts.get(id) ?? 0) + 1);
  }
  return [...counts].flatMap(([id, count]) => (count >= (2 / 3) * measurements.length ? [id] : []));
}

const middleOf = ({ width, height }: Measurement): [number, number] => [
  (width - 1) / 2,
  (height - 1) / 2,
];

/** Root mean square distance of a board's points from their middle, px. */
function halfOf(pixels: Float64Array): number {
  const count = pixels.length / 2;
  const mean = [0, 1].map((k) => pixels.reduce((s, v, i) => (i % 2 === k ? s + v : s), 0) / count);
  return Math.sqrt(pixels.reduce((s, v, i) => s + (v - mean[i % 2]) ** 2, 0) / count);
}

const triple = (of: (k: number) => number): [number, number, number] => [of(0), of(1), of(2)];
