import type { RunnerHost } from "../session/runner.ts";
import { newId } from "../store/database.ts";
import * as jobs from "../store/jobs.ts";
import type { PhotoRecord } from "../store/schema.ts";
import { type Refusal, refuse } from "./photo-intake.ts";
import { thumbs } from "./thumbs.ts";

export interface NewPhoto {
  readonly name: string;
  readonly blob: Blob;
}

export type PhotoPlace = Pick<PhotoRecord, "purpose" | "position" | "epoch" | "about">;

/** Photos written at the same time. */
const writesAtOnce = 3;

/** Takes files into a job as photos. */
export class PhotoAdder {
  /** Sets of files that are being added. */
  private sets = 0;
  /** Photos that are being written: they count for twins and names, but are not shown yet. */
  private readonly storing = new Map<string, PhotoRecord>();

  /** `work` starts whatever the job can do next; `mayAdd` ends adding when the job is closed. */
  constructor(
    private readonly host: Omit<RunnerHost, "adding">,
    private readonly mayAdd: () => boolean,
    private readonly work: () => void,
  ) {}

  get isAdding(): boolean {
    return this.sets > 0;
  }

  /**
   * Adds files: sniffed and fingerprinted one by one, so that 100 are no burden, and written a few at
   * a time. A photo shows, and is examined, once it is safely stored.
   */
  async add(files: readonly NewPhoto[], place: PhotoPlace): Promise<readonly PhotoRecord[]> {
    this.sets++;
    try {
      return await this.addAll(files, place);
    } finally {
      this.sets--;
      this.work();
    }
  }

  private async addAll(
    files: readonly NewPhoto[],
    place: PhotoPlace,
  ): Promise<readonly PhotoRecord[]> {
    const added: PhotoRecord[] = [];
    const refusals: Refusal[] = [];
    let full = false;
    let failure: unknown;
    const writes = new Set<Promise<void>>();
    for (const file of files) {
      if (!this.mayAdd() || full || failure) {
        break;
      }
      const look = await this.lookAt(file, place);
      if ("code" in look) {
        refusals.push(look);
        continue;
      }
      const write = this.storePhoto(look, file.blob)
        .then(
          (stored) => {
            full ||= !stored;
            if (stored) {
              added.push(look);
            }
          },
          (error) => {
            failure = error;
          },
        )
        .finally(() => writes.delete(write));
      writes.add(write);
      if (writes.size >= writesAtOnce) {
        await Promise.race(writes);
      }
    }
    await Promise.all(writes);
    this.host.patch({ refusals });
    if (failure) {
      throw failure;
    }
    return added;
  }

  /** What a file would be as a photo of this job, or why it cannot be one. */
  private async lookAt(file: NewPhoto, place: PhotoPlace): Promise<PhotoRecord | Refusal> {
    const head = new Uint8Array(await file.blob.slice(0, 16).arrayBuffer());
    const { fingerprint, preview } = await thumbs().firstLook(file.blob);
    const photos = [...this.host.state().photos, ...this.storing.values()];
    const present = photos.filter((photo) => photo.purpose !== "note");
    const refusal = refuse({ name: file.name, size: file.blob.size }, head, fingerprint, present);
    return (
      refusal ?? {
        ...place,
        id: newId(),
        jobId: this.host.state().record.id,
        name: uniqueName(file.name, photos),
        setup: this.host.state().record.photos.setups,
        addedAt: new Date().toISOString(),
        byteLength: file.blob.size,
        fingerprint,
        thumb: preview,
        preview: preview !== null,
        removed: false,
      }
    );
  }

  /** False where the device is full. */
  private async storePhoto(photo: PhotoRecord, blob: Blob): Promise<boolean> {
    this.storing.set(photo.id, photo);
    try {
      const stored = await this.host.guard(() => jobs.addPhoto(photo, blob));
      if (stored) {
        this.host.patch({ photos: [...this.host.state().photos, photo].sort(jobs.inOrderAdded) });
        this.work();
      }
      return stored;
    } finally {
      this.storing.delete(photo.id);
    }
  }
}

/** Photo names tell photos apart everywhere, so a second `IMG_1.jpg` becomes `IMG_1 (2).jpg`. */
function uniqueName(name: string, present: readonly PhotoRecord[]): string {
  const taken = new Set(present.map((photo) => photo.name));
  const dot = name.lastIndexOf(".");
  const [stem, end] = dot > 0 ? [name.slice(0, dot), name.slice(dot)] : [name, ""];
  let candidate = name;
  for (let count = 2; taken.has(candidate); count++) {
    candidate = `${stem} (${count})${end}`;
  }
  return candidate;
}
