/** Squared error sums and mean errors of one method over the pictures of a condition. */
export class Tally {
  private readonly byPose = new Map<number, { n: number; mean: Float64Array; squares: number }>();
  found = 0;

  add(pose: number, errors: Float64Array): void {
    let entry = this.byPose.get(pose);
    if (!entry) {
      entry = { n: 0, mean: new Float64Array(errors.length), squares: 0 };
      this.byPose.set(pose, entry);
    }
    if (entry.mean.length !== errors.length) return;
    this.found++;
    entry.n++;
    errors.forEach((e, i) => {
      entry.mean[i] += e;
      entry.squares += e * e;
    });
  }

  get rms(): number {
    let [sum, n] = [0, 0];
    for (const e of this.byPose.values()) {
      sum += e.squares;
      n += e.n * e.mean.length;
    }
    return Math.sqrt(sum / n);
  }

  /** Root mean square of the mean error, with the share that the noise alone leaves taken off. */
  get bias(): number {
    let [sum, n] = [0, 0];
    for (const e of this.byPose.values()) {
      if (e.n < 2) continue;
      const size = e.mean.length;
      const meanSquares = e.mean.reduce((s, m) => s + (m / e.n) ** 2, 0);
      const noise = (e.squares / e.n - meanSquares) / (e.n - 1);
      sum += Math.max(0, meanSquares - noise);
      n += size;
    }
    return n > 0 ? Math.sqrt(sum / n) : Number.NaN;
  }
}
