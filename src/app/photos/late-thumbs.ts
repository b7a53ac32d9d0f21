import { activePhotos, type JobState } from "../session/job-state.ts";
import type { RunnerHost } from "../session/runner.ts";
import * as jobs from "../store/jobs.ts";
import { thumbs } from "./thumbs.ts";

/** Pause after the last change before small pictures count as the next thing to do. */
const pauseMs = 150;
/** Longer side of a small picture, px. */
const side = 400;

/**
 * Makes the photos' small pictures when nothing else is to be done: decoding every photo once more
 * must not keep the verdict waiting. A photo that the browser cannot show stays without one.
 */
export class LateThumbs {
  private timer: ReturnType<typeof setTimeout> | undefined;
  private making = false;
  private closed = false;
  private readonly hopeless = new Set<string>();

  constructor(private readonly host: RunnerHost) {}

  /** To be called at every change of the job. */
  look(): void {
    if (this.making || this.closed || !this.next(this.host.state())) {
      return;
    }
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.make(), pauseMs);
  }

  close(): void {
    this.closed = true;
    clearTimeout(this.timer);
  }

  private next(state: JobState) {
    return (["sheet", "boards", "target", "note"] as const)
      .flatMap((purpose) => activePhotos(state, purpose))
      .find((photo) => (photo.thumb === null || photo.preview) && !this.hopeless.has(photo.id));
  }

  /** Loading the vision code leaves the processor free; everything else that runs comes first. */
  private isIdle({ working, computing, loading, writable }: JobState): boolean {
    const busy = loading === null && (working.size > 0 || computing !== null || this.host.adding());
    return writable && !busy;
  }

  private async make(): Promise<void> {
    const { host } = this;
    this.making = true;
    while (!this.closed && this.isIdle(host.state())) {
      const photo = this.next(host.state());
      if (!photo) {
        break;
      }
      const bytes = await jobs.photoBytes(photo.id);
      const thumb = bytes && (await thumbs().thumb(bytes, side));
      if (!thumb) {
        this.hopeless.add(photo.id);
        continue;
      }
      const now = host.state().photos.find(({ id }) => id === photo.id);
      if (now && !this.closed) {
        const withThumb = { ...now, thumb, preview: false };
        host.patch({
          photos: host.state().photos.map((item) => (item.id === photo.id ? withThumb : item)),
        });
        await host.guard(() => jobs.savePhoto(withThumb));
      }
    }
    this.making = false;
    // What came meanwhile asks again by its own change; a busy moment ends with one, too.
  }
}
