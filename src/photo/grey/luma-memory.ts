/** ES2024, which not every browser has yet. */
interface Transferable {
  transfer?(bytes: number): unknown;
}

/**
 * Memory for one grey picture after the other. Photos of one phone have one size, and a worker that
 * has done with a photo can decode the next into the same memory: 12 megapixels are 12 MB, which
 * otherwise lie about until the engine collects its garbage.
 */
export class LumaMemory {
  private kept: ArrayBuffer | null = null;

  /** Memory of this size, holding old data. The picture that was here before is overwritten. */
  take(bytes: number): ArrayBuffer {
    if (this.kept?.byteLength !== bytes) this.kept = new ArrayBuffer(bytes);
    return this.kept;
  }

  /** Forgets the memory; the picture in it must not be wanted any more. */
  drop(): void {
    // Given back at once where the engine can, else with the next collection.
    (this.kept as Transferable | null)?.transfer?.(0);
    this.kept = null;
  }
}
