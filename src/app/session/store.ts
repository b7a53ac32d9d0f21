/** A value that screens can watch (fits React's useSyncExternalStore). */
export class Store<T> {
  private value: T;
  private readonly listeners = new Set<() => void>();

  constructor(first: T) {
    this.value = first;
  }

  readonly get = (): T => this.value;

  readonly subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  /** Replaces the value; screens are told only when it is another object. */
  set(next: T): void {
    if (next !== this.value) {
      this.value = next;
      for (const listener of this.listeners) {
        listener();
      }
    }
  }
}
