import { z } from "zod";
import { profileSchema } from "../../lens/profile.ts";
import { libraryTargetSchema } from "../../placement/target/target-library.ts";
import { canonicalText } from "../../record/canonical.ts";
import { type Sha256, sha256Schema } from "../../record/sha256.ts";
import {
  type ItemKind,
  isNewer,
  itemName,
  type NamedItem,
  namedItem,
  newestItems,
  type ShopItem,
  shopItemSchema,
} from "../../replicate/formats/shop-item.ts";
import { database } from "../store/database/database.ts";
import {
  type PlateSet,
  type PrintSet,
  plateSetSchema,
  printSetSchema,
} from "../store/database/schema.ts";
import { deleteProfile, listProfiles, saveProfile } from "../store/profiles.ts";
import { documentsOf, loadValue, saveDocument, saveValue } from "./shop-database.ts";

/** What belongs to the shop and is kept in this device's settings. */
export interface ShopSets {
  readonly plateSets: readonly PlateSet[];
  readonly printSets: readonly PrintSet[];
}

interface LocalItem {
  readonly kind: ItemKind;
  readonly id: string;
  readonly value: unknown;
}

/** Which revision of an item this device's own copy is of, by the item's name. */
const appliedSchema = z.record(z.string(), sha256Schema);
const appliedName = "applied";

const loadApplied = async (): Promise<Record<string, Sha256>> =>
  appliedSchema.safeParse(await loadValue(appliedName)).data ?? {};

/** Everything on this device that the shop's other devices want to know, too. */
async function localItems(sets: ShopSets): Promise<LocalItem[]> {
  const db = await database();
  const stored = async (store: "sheets" | "targets", kind: ItemKind): Promise<LocalItem[]> => {
    const keys = await db.getAllKeys(store);
    const values = await Promise.all(keys.map((id) => db.get(store, id)));
    return keys.map((id, i) => ({ kind, id, value: values[i] }));
  };
  return [
    ...(await listProfiles()).map(({ id, profile }) => ({
      kind: "lens" as const,
      id,
      value: profile,
    })),
    ...(await stored("sheets", "sheet")),
    ...(await stored("targets", "target")),
    ...sets.plateSets.map((value) => ({ kind: "plates" as const, id: value.name, value })),
    ...sets.printSets.map((value) => ({ kind: "prints" as const, id: value.name, value })),
  ].filter(({ id }) => id !== "" && id.length <= 200);
}

/** All revisions that this device has, own and others'. */
async function knownItems(): Promise<NamedItem[]> {
  return (await documentsOf("item")).flatMap(({ sha256, bytes }) => {
    const read = shopItemSchema.safeParse(JSON.parse(new TextDecoder().decode(bytes)));
    return read.success ? [{ sha256, item: read.data }] : [];
  });
}

/** Writes down a new revision of whatever was changed, added or taken away on this device. */
export async function noteOwnChanges(sets: ShopSets, device: string, now: string): Promise<void> {
  const applied = await loadApplied();
  const known = await knownItems();
  const byHash = new Map(known.map((one) => [one.sha256, one]));
  const newest = newestItems(known);
  const local = await localItems(sets);
  const here = new Set(local.map(itemName));
  const revise = async (kind: ItemKind, id: string, value: unknown, gone: boolean) => {
    const name = itemName({ kind, id });
    const before = newest.get(name) ?? null;
    const item: ShopItem = {
      format: "plumbshot-shop-item",
      version: 1,
      kind,
      id,
      revision: (before?.item.revision ?? 0) + 1,
      before: before?.sha256 ?? null,
      changedAt: now,
      device,
      gone,
      value,
    };
    const { sha256, bytes } = namedItem(item);
    await saveDocument({ sha256, kind: "item", of: name, bytes });
    applied[name] = sha256;
  };
  for (const { kind, id, value } of local) {
    const own = byHash.get(applied[itemName({ kind, id })]);
    const isSame = own && !own.item.gone && canonicalText(own.item.value) === canonicalText(value);
    if (!isSame) await revise(kind, id, value, false);
  }
  for (const [name, hash] of Object.entries(applied)) {
    const own = byHash.get(hash);
    if (own && !own.item.gone && !here.has(name)) {
      await revise(own.item.kind, own.item.id, null, true);
    }
  }
  await saveValue(appliedName, applied);
}

/** Brings this device's own copies to the newest revisions; returns the sets as they are then. */
export async function applyNewest(sets: ShopSets): Promise<ShopSets> {
  const applied = await loadApplied();
  const known = await knownItems();
  const byHash = new Map(known.map((one) => [one.sha256, one]));
  let next = sets;
  for (const [name, newest] of newestItems(known)) {
    const own = byHash.get(applied[name]);
    if (own && !isNewer(newest, own)) continue;
    next = (await applyOne(newest.item, next)) ?? next;
    applied[name] = newest.sha256;
  }
  await saveValue(appliedName, applied);
  return next;
}

/** Null where the settings stay as they are; what cannot be read by this program is left alone. */
async function applyOne(
  { kind, id, gone, value }: ShopItem,
  sets: ShopSets,
): Promise<ShopSets | null> {
  const db = await database();
  switch (kind) {
    case "lens": {
      const profile = profileSchema.safeParse(value);
      if (gone) await deleteProfile(id);
      else if (profile.success) await saveProfile(id, profile.data);
      return null;
    }
    case "sheet":
      if (gone) await db.delete("sheets", id);
      else await db.put("sheets", value, id);
      return null;
    case "target":
      if (gone) await db.delete("targets", id);
      else if (libraryTargetSchema.safeParse(value).success) await db.put("targets", value, id);
      return null;
    case "plates":
      return {
        ...sets,
        plateSets: withSet(sets.plateSets, id, gone, plateSetSchema.safeParse(value).data),
      };
    case "prints":
      return {
        ...sets,
        printSets: withSet(sets.printSets, id, gone, printSetSchema.safeParse(value).data),
      };
  }
}

function withSet<Set extends { readonly name: string }>(
  sets: readonly Set[],
  name: string,
  gone: boolean,
  value: Set | undefined,
): readonly Set[] {
  const others = sets.filter((set) => set.name !== name);
  if (gone) return others;
  return value ? [...others, value] : sets;
}
