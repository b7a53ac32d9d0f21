/**
 * How much larger or smaller the scatter from one measurement to the next is than the print fit
 * states. Differences of neighbours in time are used, so that slow drift does not count as noise.
 */

/** Measurements after which old ones are forgotten, in degrees of freedom. */
const memory = 600;
/** Degrees of freedom with which all boards' common factor steps in for one board's own. */
const borrowed = 20;
/** A difference beyond this many times the present variance is a passer-by, not noise. */
const clip = 12;
/** Start, before anything was seen, and how much it counts: the fit's own word. */
const startWeight = 2;

interface Sum {
  squares: number;
  degrees: number;
}

export class NoiseFactor {
  private readonly own = new Map<number, Sum>();
  private readonly all: Sum = { squares: startWeight, degrees: startWeight };

  /** `ratios`: squared differences over twice the stated variance, one a coordinate. */
  add(board: number, ratios: readonly number[]): void {
    const sum = this.own.get(board) ?? { squares: 0, degrees: 0 };
    this.own.set(board, sum);
    const most = clip * this.variance(board);
    for (const ratio of ratios) {
      for (const part of [sum, this.all]) {
        // Neighbouring differences share a measurement: three of them tell as much as two.
        part.squares += (2 / 3) * Math.min(ratio, most);
        part.degrees += 2 / 3;
        if (part.degrees > memory) {
          part.squares *= memory / part.degrees;
          part.degrees = memory;
        }
      }
    }
  }

  /** Factor on the stated covariance. */
  variance(board: number): number {
    const common = this.all.squares / this.all.degrees;
    const own = this.own.get(board);
    if (!own) return common;
    return (own.squares + borrowed * common) / (own.degrees + borrowed);
  }

  /** Degrees of freedom behind `variance`. */
  degrees(board: number): number {
    return (this.own.get(board)?.degrees ?? 0) + Math.min(borrowed, this.all.degrees);
  }
}
