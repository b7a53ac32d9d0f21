import { plainName } from "../../say/plain-text.ts";
import { after } from "../state/clock.ts";
import { inBackground } from "../state/failures.ts";
import type { JobState } from "../state/job-state.ts";
import { type Refusal, refuse } from "../state/photo/photo-intake.ts";
import type { RunnerHost } from "../state/runner-host.ts";
import { newId } from "../store/database/database.ts";
import type { PhotoRecord } from "../store/database/schema.ts";
import { clearIntake, saveIntake } from "../store/intake.ts";
import { addPhoto, inOrderAdded } from "../store/photos.ts";
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
  /** Names of the chosen files that are not stored yet, for the case that the page ends now. */
  private onTheWay: string[] = [];
  /** Names and fingerprints of the job's photos, those included that are being written. */
  private names = new Set<string>();
  private fingerprints = new Set<string>();
  private lastAddedAt = "";

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
   * a time. A photo shows, and is examined, once it is safely stored; each file that is not stored is
   * refused by name.
   */
  async add(files: readonly NewPhoto[], place: PhotoPlace): Promise<readonly PhotoRecord[]> {
    if (this.sets++ === 0) {
      this.lookAtPresent();
    }
    this.onTheWay.push(...files.map(({ name }) => name));
    this.noteIntake();
    try {
      return await this.addAll(files, place);
    } finally {
      if (--this.sets === 0 && this.mayAdd()) {
        this.onTheWay = [];
        inBackground(clearIntake(this.jobId));
      }
      this.work();
    }
  }

  private get jobId(): string {
    return this.host.state().record.id;
  }

  /** A page that is ended meanwhile asks for these files again when the job is next opened. */
  private noteIntake(): void {
    inBackground(saveIntake(this.jobId, { names: this.onTheWay, cameraOpen: false }));
  }

  private lookAtPresent(): void {
    const { photos } = this.host.state();
    const counted = photos.filter(({ purpose, removed }) => purpose !== "note" && !removed);
    this.names = new Set(photos.map(({ name }) => name));
    this.fingerprints = new Set(counted.map(({ fingerprint }) => fingerprint));
    this.lastAddedAt = photos.at(-1)?.addedAt ?? "";
  }

  private async addAll(
    files: readonly NewPhoto[],
    place: PhotoPlace,
  ): Promise<readonly PhotoRecord[]> {
    const added: PhotoRecord[] = [];
    const refusals: Refusal[] = [];
    const writes = new Set<Promise<void>>();
    let stopped = false;
    for (const file of files) {
      if (stopped || !this.mayAdd()) {
        refusals.push({ name: file.name, code: "not stored" });
        continue;
      }
      const look = await this.lookAt(file, place);
      if ("code" in look) {
        refusals.push(look);
        continue;
      }
      const write = this.storePhoto(look, file).then((stored) => {
        if (stored) {
          added.push(look);
        } else {
          stopped = true;
          refusals.push({ name: file.name, code: "not stored" });
        }
        writes.delete(write);
      });
      writes.add(write);
      if (writes.size >= writesAtOnce) {
        await Promise.race(writes);
      }
    }
    await Promise.all(writes);
    this.host.patch({ refusals });
    return added;
  }

  /** What a file would be as a photo of this job, or why it cannot be one. */
  private async lookAt(file: NewPhoto, place: PhotoPlace): Promise<PhotoRecord | Refusal> {
    const looked = await lookInto(file.blob);
    if (looked === null) {
      return { name: file.name, code: "not readable" };
    }
    const { head, fingerprint, preview } = looked;
    const refusal = refuse(
      { name: file.name, size: file.blob.size },
      head,
      fingerprint,
      place.purpose === "note" ? new Set() : this.fingerprints,
    );
    if (refusal) {
      return refusal;
    }
    const name = uniqueName(plainName(file.name), this.names);
    this.names.add(name);
    if (place.purpose !== "note") {
      this.fingerprints.add(fingerprint);
    }
    this.lastAddedAt = after(this.lastAddedAt, new Date());
    return {
      ...place,
      id: newId(),
      jobId: this.jobId,
      name,
      setup: this.host.state().record.photos.setups,
      addedAt: this.lastAddedAt,
      byteLength: file.blob.size,
      fingerprint,
      thumb: preview,
      preview: preview !== null,
      removed: false,
    };
  }

  /** False where it could not be stored. */
  private async storePhoto(photo: PhotoRecord, file: NewPhoto): Promise<boolean> {
    const { host } = this;
    const stored = await host.guard(() =>
      addPhoto(photo, file.blob, {
        listing: host.listing(withPhoto(host.state(), photo)),
        chosenAs: file.name,
      }),
    );
    if (stored) {
      this.onTheWay.splice(this.onTheWay.indexOf(file.name), 1);
      host.patch(withPhoto(host.state(), photo));
      this.work();
    } else {
      this.names.delete(photo.name);
      this.fingerprints.delete(photo.fingerprint);
    }
    return stored;
  }
}

/** The state's photos with one more, in the order in which they were added. */
function withPhoto<State extends Pick<JobState, "photos">>(state: State, photo: PhotoRecord) {
  const later = state.photos.findLastIndex((present) => inOrderAdded(present, photo) <= 0);
  return { ...state, photos: state.photos.toSpliced(later + 1, 0, photo) };
}

/** First bytes, fingerprint and the camera's small picture; null where the file cannot be read. */
async function lookInto(blob: Blob) {
  try {
    const head = new Uint8Array(await blob.slice(0, 16).arrayBuffer());
    return { head, ...(await thumbs().firstLook(blob)) };
  } catch {
    return null;
  }
}

/** Photo names tell photos apart everywhere, so a second `IMG_1.jpg` becomes `IMG_1 (2).jpg`. */
export function uniqueName(name: string, taken: ReadonlySet<string>): string {
  const dot = name.lastIndexOf(".");
  const [stem, end] = dot > 0 ? [name.slice(0, dot), name.slice(dot)] : [name, ""];
  let candidate = name;
  for (let count = 2; taken.has(candidate); count++) {
    candidate = `${stem} (${count})${end}`;
  }
  return candidate;
}
