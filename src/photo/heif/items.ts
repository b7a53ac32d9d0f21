import { type Box, BoxError, Bytes, boxOf } from "./boxes.ts";

/** The items of a HEIF file: pictures, tiles, EXIF. */
export interface Items {
  readonly primary: number;
  /** Pictures that are nobody's preview, map or tile. */
  readonly standing: readonly number[];
  ofType(type: string): number | null;
  /** In the order in which they are to be applied. */
  propertiesOf(item: number): readonly Box[];
  /** The item's bytes where they lie in one piece; null elsewhere. */
  contentOf(item: number, file: Uint8Array): Uint8Array | null;
}

const pictureTypes = ["hvc1", "hev1", "av01", "grid", "iden", "iovl"];

/** From the boxes inside `meta`; null where no main picture is named. */
export function itemsOf(meta: readonly Box[]): Items | null {
  const primary = primaryOf(boxOf(meta, "pitm"));
  if (primary === null) return null;
  const kinds = kindsOf(boxOf(meta, "iinf"));
  const inside = insideOthers(boxOf(meta, "iref"));
  const places = placesOf(boxOf(meta, "iloc"));
  const properties = propertiesOf(boxOf(meta, "iprp"));
  const idat = boxOf(meta, "idat");
  return {
    primary,
    standing: [...kinds]
      .filter(([id, kind]) => !kind.hidden && pictureTypes.includes(kind.type) && !inside.has(id))
      .map(([id]) => id),
    ofType: (type) => [...kinds].find(([, kind]) => kind.type === type)?.[0] ?? null,
    propertiesOf: (item) => properties.get(item) ?? [],
    contentOf: (item, file) => {
      const place = places.get(item);
      const source = place?.inIdat ? idat?.bytes : file;
      if (!place || !source || place.at + place.length > source.length) return null;
      return source.subarray(place.at, place.at + place.length);
    },
  };
}

function primaryOf(pitm: Bytes | null): number | null {
  if (!pitm) return null;
  return pitm.head().version === 0 ? pitm.u16() : pitm.u32();
}

function kindsOf(iinf: Bytes | null): Map<number, { type: string; hidden: boolean }> {
  const kinds = new Map<number, { type: string; hidden: boolean }>();
  if (!iinf) return kinds;
  if (iinf.head().version === 0) iinf.u16();
  else iinf.u32();
  for (const { type, data } of iinf.boxes()) {
    if (type !== "infe") continue;
    const { version, flags } = data.head();
    if (version < 2) continue;
    const id = version === 2 ? data.u16() : data.u32();
    data.u16();
    kinds.set(id, { type: data.text(4), hidden: (flags & 1) === 1 });
  }
  return kinds;
}

/** Items that belong to another: previews and maps point to it, tiles are pointed at. */
function insideOthers(iref: Bytes | null): Set<number> {
  const inside = new Set<number>();
  if (!iref) return inside;
  const wide = iref.head().version !== 0;
  for (const { type, data } of iref.boxes()) {
    const id = () => (wide ? data.u32() : data.u16());
    const from = id();
    const to = Array.from({ length: data.u16() }, id);
    if (type === "thmb" || type === "auxl") inside.add(from);
    if (type === "dimg") for (const part of to) inside.add(part);
  }
  return inside;
}

interface Place {
  readonly at: number;
  readonly length: number;
  readonly inIdat: boolean;
}

/** Where items lie (14496-12, 8.11.3); those in several pieces or in other files are left out. */
function placesOf(iloc: Bytes | null): Map<number, Place> {
  const places = new Map<number, Place>();
  if (!iloc) return places;
  const { version } = iloc.head();
  const sizes = iloc.u16();
  const [offsetSize, lengthSize, baseSize] = [12, 8, 4].map((shift) => (sizes >> shift) & 15);
  const indexSize = version > 0 ? sizes & 15 : 0;
  const count = version < 2 ? iloc.u16() : iloc.u32();
  for (let i = 0; i < count; i++) {
    const id = version < 2 ? iloc.u16() : iloc.u32();
    const method = version > 0 ? iloc.u16() & 15 : 0;
    const elsewhere = iloc.u16() !== 0;
    const base = iloc.sized(baseSize);
    const pieces = Array.from({ length: iloc.u16() }, () => {
      iloc.sized(indexSize);
      return { at: base + iloc.sized(offsetSize), length: iloc.sized(lengthSize) };
    });
    if (elsewhere || method > 1 || pieces.length !== 1) continue;
    places.set(id, { ...pieces[0], inIdat: method === 1 });
  }
  return places;
}

function propertiesOf(iprp: Bytes | null): Map<number, Box[]> {
  const found = new Map<number, Box[]>();
  if (!iprp) return found;
  const boxes = iprp.boxes();
  const all = boxOf(boxes, "ipco")?.boxes() ?? [];
  for (const { type, data } of boxes) {
    if (type !== "ipma") continue;
    const { version, flags } = data.head();
    const entries = data.u32();
    if (entries > data.left) throw new BoxError();
    for (let i = 0; i < entries; i++) {
      const id = version === 0 ? data.u16() : data.u32();
      const own = Array.from({ length: data.u8() }, () =>
        flags & 1 ? data.u16() & 0x7fff : data.u8() & 0x7f,
      );
      // A property is read anew for every item that has it.
      const copies = own.flatMap((index) => (all[index - 1] ? [all[index - 1]] : []));
      found.set(
        id,
        copies.map(({ type, data }) => ({ type, data: new Bytes(data.bytes, 0) })),
      );
    }
  }
  return found;
}
