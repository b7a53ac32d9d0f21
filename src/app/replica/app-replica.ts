import { closedRevisionOf } from "../../record/close-revision.ts";
import { hashOf, type Sha256 } from "../../record/sha256.ts";
import { readSignature } from "../../record/signature.ts";
import type { Entry } from "../../replicate/formats/entry.ts";
import { summaryOf } from "../../replicate/formats/summary.ts";
import type { Bytes } from "../../replicate/stores/store.ts";
import type { Outgoing, Replica } from "../../replicate/sync/replica.ts";
import type { ReplicaState } from "../../replicate/sync/state.ts";
import { entryOf, type RevisionEntry } from "../store/database/revision-entry.ts";
import { photoBytes } from "../store/photos.ts";
import {
  attachmentBytes,
  listAllRevisions,
  loadRevision,
  loadSignature,
  saveSignature,
} from "../store/records/revisions.ts";
import { isKnownRevision, keepForeignRevision, removeRevisions } from "./foreign-revisions.ts";
import { outgoingOfJobs, placesWithout, takeJobDocument, takePhoto } from "./shared-jobs.ts";
import {
  deleteLearned,
  documentsOf,
  loadDocument,
  loadValue,
  type ShopSettings,
  saveDocument,
  saveLearned,
  storedEntries,
} from "./shop-database.ts";

/** This device as replication sees it: closed records with their photos, shop items, shared jobs. */
export class AppReplica implements Replica {
  /** Which stored photo or file has a hash's bytes. */
  private readonly photoIds = new Map<Sha256, string>();
  private readonly fileIds = new Map<Sha256, string>();

  constructor(
    private readonly settings: ShopSettings,
    private readonly device: string,
    private readonly fingerprint: (photo: Blob) => Promise<string>,
    /** Told of every job to which something came from another phone. */
    private readonly onArrival: (job: string) => void = () => {},
  ) {}

  private arrived(job: string | null): void {
    if (job !== null) this.onArrival(job);
  }

  newDevice(): string {
    return this.device;
  }

  loadState(): Promise<unknown> {
    return loadValue("state");
  }

  saveState(state: ReplicaState, learned: readonly Entry[]): Promise<void> {
    return saveLearned(state, learned);
  }

  entries(): Promise<readonly Entry[]> {
    return storedEntries();
  }

  async outgoing(): Promise<readonly Outgoing[]> {
    const known = new Set((await storedEntries()).map(({ sha256 }) => sha256));
    const outgoing: Outgoing[] = [];
    for (const kind of ["item", "removal"] as const) {
      for (const { sha256, of, bytes } of await documentsOf(kind)) {
        outgoing.push({
          kind,
          sha256,
          bytes: bytes.length,
          ...(of ? { of } : {}),
          ...(kind === "removal" ? { removes: removesIn(bytes) } : {}),
        });
      }
    }
    for (const entry of await listAllRevisions()) {
      if (!isWholeIn(entry, known)) outgoing.push(...(await this.ofRevision(entry)));
    }
    outgoing.push(...(await outgoingOfJobs(this.settings.sharedJobs, this.device, this.photoIds)));
    return outgoing;
  }

  /** A closed record with its signature, photos and files; invented ones stay on the device. */
  private async ofRevision(entry: RevisionEntry): Promise<Outgoing[]> {
    const sealed = await loadRevision(entry.sha256);
    if (!sealed || sealed.revision.content.invented) return [];
    const { content } = sealed.revision;
    const of = entry.sha256;
    const outgoing: Outgoing[] = [
      {
        kind: "record",
        sha256: of,
        bytes: sealed.bytes.length,
        record: summaryOf(sealed.revision),
      },
    ];
    const signature = await loadSignature(of);
    if (signature) {
      const bytes = textBytes(signature);
      outgoing.push({ kind: "signature", sha256: hashOf(bytes), bytes: bytes.length, of });
      this.signatures.set(hashOf(bytes), bytes);
    }
    const sizes = new Map(
      [...content.photos, ...content.attachments].map(({ sha256, bytes }) => [sha256, bytes]),
    );
    for (const { id, sha256 } of entry.photos) {
      this.photoIds.set(sha256, id);
      outgoing.push({ kind: "photo", sha256, bytes: sizes.get(sha256) ?? 0, of });
    }
    for (const { id, sha256 } of entry.attachments) {
      this.fileIds.set(sha256, id);
      outgoing.push({ kind: "attachment", sha256, bytes: sizes.get(sha256) ?? 0, of });
    }
    return outgoing;
  }
  private readonly signatures = new Map<Sha256, Bytes>();

  /** Finds out where everything of this device lies, also what the store has as a whole already. */
  async lookUpAll(): Promise<void> {
    await this.outgoing();
    for (const entry of await listAllRevisions()) await this.ofRevision(entry);
  }

  async read(sha256: Sha256): Promise<Bytes | null> {
    const signature = this.signatures.get(sha256);
    if (signature) return signature;
    const [photo, file] = [this.photoIds.get(sha256), this.fileIds.get(sha256)];
    if (photo || file) {
      const blob = photo ? await photoBytes(photo) : await attachmentBytes(file!);
      return blob && new Uint8Array(await blob.arrayBuffer());
    }
    return (await loadDocument(sha256)) ?? (await loadRevision(sha256))?.bytes ?? null;
  }

  async lacks({ kind, sha256, of }: Entry): Promise<boolean> {
    const shared = of !== undefined && this.settings.sharedJobs.includes(of);
    switch (kind) {
      case "item":
      case "removal":
        return (await loadDocument(sha256)) === null;
      case "job":
      case "job photo":
        return shared && (await loadDocument(sha256)) === null;
      case "record":
        return this.settings.records && !(await isKnownRevision(sha256));
      case "signature":
        return (
          this.settings.records && of !== undefined && (await loadSignature(of as Sha256)) === null
        );
      case "photo":
        return (await placesWithout(this.settings.sharedJobs, sha256)).length > 0;
      case "attachment":
        return false;
    }
  }

  async take({ kind, sha256, of }: Entry, bytes: Bytes): Promise<void> {
    switch (kind) {
      case "item":
      case "removal":
      case "job":
      case "job photo":
        await saveDocument({ sha256, kind, of: of ?? null, bytes });
        if (kind === "job") this.arrived(await takeJobDocument(bytes, this.device));
        return;
      case "record": {
        const sealed = closedRevisionOf(bytes, sha256);
        if (sealed) {
          await keepForeignRevision(
            sealed,
            entryOf(sealed, { stateKey: "", photos: [], attachments: [] }),
          );
        }
        return;
      }
      case "signature": {
        const signature = readSignature(new TextDecoder().decode(bytes));
        if (signature && signature.signs === of) await saveSignature(signature);
        return;
      }
      case "photo":
        for (const place of await placesWithout(this.settings.sharedJobs, sha256)) {
          await takePhoto(place, bytes, this.fingerprint);
          this.arrived(place.job);
        }
        return;
      case "attachment":
        return;
    }
  }

  async remove(hashes: readonly Sha256[]): Promise<void> {
    await removeRevisions(hashes);
    await deleteLearned(hashes);
  }
}

const textBytes = (text: string): Bytes => new TextEncoder().encode(text) as Bytes;

function removesIn(bytes: Bytes): Sha256[] {
  const { removes } = JSON.parse(new TextDecoder().decode(bytes)) as { removes: Sha256[] };
  return removes;
}

/** True where the store has the record and everything that it rests on. */
const isWholeIn = (entry: RevisionEntry, known: ReadonlySet<Sha256>): boolean =>
  [entry, ...entry.photos, ...entry.attachments].every(({ sha256 }) => known.has(sha256));
