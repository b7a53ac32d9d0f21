import { createStore } from "zustand/vanilla";
import { canonicalBytes } from "../../record/canonical.ts";
import { hashOf, type Sha256 } from "../../record/sha256.ts";
import { type Fault, StoreFault } from "../../replicate/faults/faults.ts";
import { type Lane, lanes } from "../../replicate/formats/entry.ts";
import type { Removal } from "../../replicate/formats/removal.ts";
import { belongingTo, forgetInStore } from "../../replicate/sync/forget.ts";
import { type Repaired, repair } from "../../replicate/sync/repair.ts";
import { type Progress, type Replicated, replicate } from "../../replicate/sync/replicate.ts";
import { replicaStateSchema } from "../../replicate/sync/state.ts";
import { thumbs } from "../photos/thumbs.ts";
import { tellArrival } from "../state/arrivals.ts";
import { newId } from "../store/database/database.ts";
import { listAllRevisions } from "../store/records/revisions.ts";
import { AppReplica } from "./app-replica.ts";
import { openShop } from "./connect.ts";
import {
  deleteLearned,
  loadShopSettings,
  loadValue,
  type ShopSettings,
  saveDocument,
  saveValue,
  storedEntries,
} from "./shop-database.ts";
import { applyNewest, noteOwnChanges, type ShopSets } from "./shop-items.ts";

/** What the Shop screen shows of replication, wherever it was begun. */
export interface ReplicationState {
  readonly progress: Progress | null;
  readonly last: { readonly at: string; readonly done: Replicated } | null;
  /** What ended the last one; what was done before it stays. */
  readonly ended: Fault | null;
}

export const replication = createStore<ReplicationState>(() => ({
  progress: null,
  last: null,
  ended: null,
}));

/** A name of this device for the store: random, no personal data. */
async function deviceName(): Promise<string> {
  const state = replicaStateSchema.safeParse(await loadValue("state"));
  if (state.success) return state.data.device;
  const kept = await loadValue("device");
  if (typeof kept === "string") return kept;
  const name = newId();
  await saveValue("device", name);
  return name;
}

/** True where the browser says that the network costs by the byte; most browsers do not say. */
export function onMobileData(): boolean {
  const { connection } = navigator as { connection?: { type?: string; saveData?: boolean } };
  return connection?.type === "cellular" || connection?.saveData === true;
}

let running: Promise<void> | null = null;

/**
 * Replicates once; a second call waits for the first. Never throws: how it ended stands in
 * {@link replication}. `photos`: also on mobile data. `setSets` hears of changed sets of the shop.
 */
export function replicateNow(
  sets: ShopSets,
  setSets: (sets: ShopSets) => void,
  photos = false,
): Promise<void> {
  running ??= run(sets, setSets, photos).finally(() => {
    running = null;
    replication.setState({ progress: null });
  });
  return running;
}

async function run(
  sets: ShopSets,
  setSets: (sets: ShopSets) => void,
  photos: boolean,
): Promise<void> {
  const settings = await loadShopSettings();
  if (!settings) return;
  replication.setState({ progress: { doing: "reading", done: 0, of: 1 }, ended: null });
  try {
    const device = await deviceName();
    await noteOwnChanges(sets, device, new Date().toISOString());
    const vault = await openShop(settings);
    const fingerprint = (photo: Blob) => thumbs().fingerprint(photo);
    const replica = new AppReplica(settings, device, fingerprint, tellArrival);
    const done = await replicate(vault, replica, {
      now: Date.now,
      photos: photos || settings.photos === "always" || !onMobileData(),
      follow: followed(settings),
      onProgress: (progress) => replication.setState({ progress }),
    });
    const next = await applyNewest(sets);
    if (next !== sets) setSets(next);
    replication.setState({ last: { at: new Date().toISOString(), done }, ended: null });
  } catch (error) {
    replication.setState({ ended: error instanceof StoreFault ? error : unexpected(error) });
  }
}

/** A phone reads of others only what it is to keep. */
function followed({ records, sharedJobs }: ShopSettings): readonly Lane[] {
  if (sharedJobs.length > 0) return lanes;
  return records ? ["shop", "work"] : ["shop"];
}

function unexpected(error: unknown): Fault {
  console.error(error);
  const reason = error instanceof Error ? error.message : String(error);
  return { code: "unreachable", values: { address: "", reason } };
}

/** Writes again what the store lost or damaged and this device has; throws StoreFault. */
export async function repairNow(
  readBack: boolean,
  onProgress: (done: number, of: number) => void,
): Promise<Repaired> {
  const settings = await loadShopSettings();
  if (!settings) return { looked: 0, mended: 0, elsewhere: 0 };
  await running;
  const replica = new AppReplica(settings, await deviceName(), async () => "");
  await replica.lookUpAll();
  return repair(await openShop(settings), replica, { readBack, onProgress });
}

/** Records that were deleted on this device and that the store still has. */
export async function deletedHere(): Promise<readonly Sha256[]> {
  const here = new Set((await listAllRevisions()).map(({ sha256 }) => sha256));
  const settings = await loadShopSettings();
  if (!settings?.records) return [];
  return (await storedEntries())
    .filter(({ kind, sha256 }) => kind === "record" && !here.has(sha256))
    .map(({ sha256 }) => sha256);
}

/** Deletes records with all that belongs to them for good, in the store and on every device. */
export async function removeForAll(
  records: readonly Sha256[],
  sets: ShopSets,
  setSets: (sets: ShopSets) => void,
): Promise<void> {
  const settings = await loadShopSettings();
  if (!settings || records.length === 0) return;
  const gone = belongingTo(await storedEntries(), new Set(records));
  const removal: Removal = {
    format: "plumbshot-removal",
    version: 1,
    removes: gone.map(({ sha256 }) => sha256),
    removedAt: new Date().toISOString(),
    device: await deviceName(),
  };
  const bytes = canonicalBytes(removal);
  await saveDocument({ sha256: hashOf(bytes), kind: "removal", of: null, bytes });
  await replicateNow(sets, setSets);
  try {
    await forgetInStore(await openShop(settings), gone);
  } catch (error) {
    replication.setState({ ended: error instanceof StoreFault ? error : unexpected(error) });
  }
  await deleteLearned(removal.removes);
}

export { deviceName };
