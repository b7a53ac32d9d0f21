import { inBackground } from "../state/failures.ts";
import type { JobState } from "../state/job-state.ts";
import type { RunnerHost } from "../state/runner-host.ts";
import { photoBytes, savePhotos } from "../store/photos.ts";
import { thumbs } from "./thumbs.ts";

/** Pause after the last change before small pictures count as the next thing to do. */
const pauseMs = 150;
/** Longer side of a small picture, px. */
const side = 400;

/** Parts of the job whose change may leave time for small pictures, or bring new ones to make. */
const concerned = [
  ...(["photos", "working", "computing", "loading", "writable"] as const),
  ...(["refusals", "trouble", "plan", "planFailure"] as const),
];

/**
 * Makes the photos' small pictures when nothing else is to be done: decoding every photo once more
 * must not keep the verdict waiting. A photo that the browser cannot show stays without one.
 */
export class LateThumbs {
  private timer: ReturnType<typeof setTimeout> | undefined;
  private making = false;
  private closed = false;
  private seen: readonly unknown[] = [];
  private readonly hopeless = new Set<string>();

  /** `isPlanning`: a plan is being made, which needs processor and memory for itself. */
  constructor(
    private readonly host: RunnerHost,
    private readonly isPlanning: () => boolean,
  ) {}

  /** To be called at every change of the job. */
  look(): void {
    const state = this.host.state();
    const now = concerned.map((part) => state[part]);
    if (this.making || this.closed || now.every((part, i) => part === this.seen[i])) {
      return;
    }
    this.seen = now;
    if (!this.next(state)) {
      return;
    }
    clearTimeout(this.timer);
    this.timer = setTimeout(() => inBackground(this.make()), pauseMs);
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.timer);
  }

  private next(state: JobState) {
    return state.photos.find(
      (photo) =>
        !photo.removed && (photo.thumb === null || photo.preview) && !this.hopeless.has(photo.id),
    );
  }

  /** Loading the vision code leaves the processor free; everything else that runs comes first. */
  private isIdle({ working, computing, loading, writable, trouble }: JobState): boolean {
    const busy =
      this.isPlanning() ||
      (loading === null && (working.size > 0 || computing !== null || this.host.adding()));
    return writable && trouble === null && !busy;
  }

  private async make(): Promise<void> {
    const { host } = this;
    this.making = true;
    try {
      while (!this.closed && this.isIdle(host.state())) {
        const photo = this.next(host.state());
        if (!photo) {
          break;
        }
        await this.makeOne(photo.id);
      }
    } finally {
      this.making = false;
    }
    // What came meanwhile asks again by its own change; a busy moment ends with one, too.
  }

  private async makeOne(id: string): Promise<void> {
    const { host } = this;
    const bytes = await photoBytes(id);
    const thumb = bytes && (await thumbs().thumb(bytes, side));
    const now = host.state().photos.find((photo) => photo.id === id);
    if (!thumb) {
      this.hopeless.add(id);
    } else if (now && !this.closed) {
      const withThumb = { ...now, thumb, preview: false };
      const photos = host.state().photos.map((photo) => (photo.id === id ? withThumb : photo));
      host.patch({ photos });
      await host.guard(() => savePhotos([withThumb]));
    }
  }
}
