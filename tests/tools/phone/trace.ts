/** One ray: pixel, place in the opening, moment of the exposure -> place on the print, in cells. */
import type { TruePrint } from "./bay.ts";
import { motionAt, poseAt } from "./hand.ts";
import { lookAlong } from "./lens.ts";
import { apply, chain, inverse, type Rigid, rotate, type V3 } from "./maths.ts";
import { type Shot, stabilisedShift, timeOfRow } from "./shots.ts";

export interface Ray {
  readonly px: number;
  readonly py: number;
  /** Row that is read: the pixel's own, also for places off its middle. */
  readonly row: number;
  /** Place in the opening, shares of its radius. */
  readonly opening: readonly [number, number];
  /** Moment of the exposure, -1/2 .. 1/2 of it. */
  readonly moment: number;
}

export class Tracer {
  private readonly boardFromWorld: Rigid;
  private lastTime = Number.NaN;
  private boardFromCamera: Rigid = { q: [1, 0, 0, 0], p: [0, 0, 0] };
  private shift: readonly [number, number] = [0, 0];

  constructor(
    private readonly shot: Shot,
    private readonly print: TruePrint,
    worldFromBoard: Rigid,
  ) {
    this.boardFromWorld = inverse(worldFromBoard);
  }

  /** Place on the print, cells, x right and y up. */
  trace({ px, py, row, opening, moment }: Ray): [number, number] {
    const { shot } = this;
    this.goTo(timeOfRow(shot, row) + moment * shot.exposureS);
    const { lens } = shot.phone;
    const [x, y] = lookAlong(lens, shot.state, px, py, this.shift);
    // Every ray of the pixel meets the chief ray in the plane in focus.
    const d = shot.state.focusMm;
    const from: V3 = [opening[0] * lens.openingMm, opening[1] * lens.openingMm, 0];
    const along: V3 = [x * d - from[0], y * d - from[1], d];
    const o = apply(this.boardFromCamera, from);
    const r = rotate(this.boardFromCamera.q, along);
    return this.meet(o, r);
  }

  private goTo(time: number): void {
    if (time === this.lastTime) return;
    const { shot } = this;
    this.lastTime = time;
    this.boardFromCamera = chain(
      this.boardFromWorld,
      poseAt(shot.worldFromCamera, shot.hand, time),
    );
    this.shift = stabilisedShift(shot, motionAt(shot.hand, time).turned);
  }

  /** Where o + s r meets the bent print z = k (x cos a + y sin a)^2 / 2. */
  private meet(o: V3, r: V3): [number, number] {
    const { curvature, bendAngle, cellX, cellY } = this.print;
    let s = -o[2] / r[2];
    if (curvature !== 0) {
      const [c, w] = [Math.cos(bendAngle), Math.sin(bendAngle)];
      for (let i = 0; i < 4; i++) {
        const along = (o[0] + s * r[0]) * c + (o[1] + s * r[1]) * w;
        s = ((curvature * along * along) / 2 - o[2]) / r[2];
      }
    }
    return [(o[0] + s * r[0]) / cellX, (o[1] + s * r[1]) / cellY];
  }
}
