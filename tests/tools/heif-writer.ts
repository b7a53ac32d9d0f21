/** Writes HEIC files as phones do (tiles, turns, flips, several pictures) from pictures of heif-enc. */
import { type Box, Bytes, boxOf } from "../../src/photo/heif/boxes.ts";

/** One coded picture: its stream and the decoder's set-up for it. */
export interface CodedPicture {
  readonly data: Uint8Array;
  readonly setup: Uint8Array;
  readonly width: number;
  readonly height: number;
}

/** The one picture of a file that heif-enc wrote. */
export function codedPicture(file: Uint8Array): CodedPicture {
  const top = new Bytes(file, 0).boxes();
  const meta = boxOf(top, "meta")!;
  meta.head();
  const inMeta = meta.boxes();
  const properties = boxOf(boxOf(inMeta, "iprp")!.boxes(), "ipco")!.boxes();
  const size = boxOf(properties, "ispe")!;
  size.head();
  const [width, height] = [size.u32(), size.u32()];
  return { data: mdatOf(top), setup: boxOf(properties, "hvcC")!.bytes, width, height };
}

const mdatOf = (boxes: readonly Box[]): Uint8Array => boxOf(boxes, "mdat")!.bytes;

export interface HeifWish {
  /** Row by row, all of one size. */
  readonly tiles: readonly CodedPicture[];
  readonly columns: number;
  /** The picture that the tiles are cut to, px. */
  readonly width: number;
  readonly height: number;
  /** Quarter turns counter-clockwise. */
  readonly quarters?: number;
  /** 0: top and bottom change places; 1: left and right. */
  readonly flip?: 0 | 1;
  /** A TIFF block. */
  readonly exif?: Uint8Array;
  /** Further pictures that stand for themselves, each one coded picture. */
  readonly others?: readonly CodedPicture[];
}

export function writeHeif(wish: HeifWish): Uint8Array {
  const { tiles, others = [], exif } = wish;
  const gridId = tiles.length + 1;
  const exifId = gridId + 1;
  const otherId = (i: number): number => gridId + 2 + i;
  const grid = [0, 0, tiles.length / wish.columns - 1, wish.columns - 1];
  const gridData = Uint8Array.from([...grid, ...u16(wish.width), ...u16(wish.height)]);
  const exifData = exif && Uint8Array.from([...u32(6), ...ascii("Exif\0\0"), ...exif]);
  const items = [
    ...tiles.map((tile, i) => ({ id: i + 1, type: "hvc1", hidden: true, data: tile.data })),
    { id: gridId, type: "grid", hidden: false, data: gridData },
    ...(exifData ? [{ id: exifId, type: "Exif", hidden: true, data: exifData }] : []),
    ...others.map((one, i) => ({ id: otherId(i), type: "hvc1", hidden: false, data: one.data })),
  ];
  const turn = wish.quarters === undefined ? [] : [box("irot", [wish.quarters])];
  const flip = wish.flip === undefined ? [] : [box("imir", [wish.flip])];
  const coded = [tiles[0], ...others];
  const properties = [
    ...coded.flatMap((one) => [box("hvcC", one.setup), sizeBox(one.width, one.height)]),
    sizeBox(wish.width, wish.height),
    ...turn,
    ...flip,
  ];
  const shared = 2 * coded.length + 1;
  const ofGrid = [...turn, ...flip].map((_, i) => shared + 1 + i);
  const owners: [number, number[]][] = [
    ...tiles.map((_, i): [number, number[]] => [i + 1, [1, 2]]),
    [gridId, [shared, ...ofGrid]],
    ...others.map((_, i): [number, number[]] => [otherId(i), [3 + 2 * i, 4 + 2 * i]]),
  ];
  const metaAt = (start: number): Uint8Array => {
    let at = start;
    const places = items.map(({ id, data }) => {
      const place = [...u16(id), ...u16(0), ...u16(1), ...u32(at), ...u32(data.length)];
      at += data.length;
      return place;
    });
    return full("meta", 0, 0, [
      ...full("hdlr", 0, 0, [...u32(0), ...ascii("pict"), ...u32(0), ...u32(0), ...u32(0), 0]),
      ...full("pitm", 0, 0, u16(gridId)),
      ...full("iloc", 0, 0, [0x44, 0, ...u16(items.length), ...places.flat()]),
      ...full("iinf", 0, 0, [
        ...u16(items.length),
        ...items.flatMap(({ id, type, hidden }) => [
          ...full("infe", 2, hidden ? 1 : 0, [...u16(id), 0, 0, ...ascii(type), 0]),
        ]),
      ]),
      ...full("iref", 0, 0, [
        ...box("dimg", [
          ...u16(gridId),
          ...u16(tiles.length),
          ...tiles.flatMap((_, i) => u16(i + 1)),
        ]),
        ...(exifData ? box("cdsc", [...u16(exifId), ...u16(1), ...u16(gridId)]) : []),
      ]),
      ...box("iprp", [
        ...box(
          "ipco",
          properties.flatMap((one) => [...one]),
        ),
        ...full("ipma", 0, 0, [
          ...u32(owners.length),
          ...owners.flatMap(([id, own]) => [...u16(id), own.length, ...own]),
        ]),
      ]),
    ]);
  };
  const head = box("ftyp", [...ascii("heic"), ...u32(0), ...ascii("mif1heic")]);
  const start = head.length + metaAt(0).length + 8;
  const content = Buffer.concat(items.map(({ data }) => data));
  return Buffer.concat(
    [head, metaAt(start), u32(content.length + 8), Buffer.from("mdat"), content].map((part) =>
      Uint8Array.from(part),
    ),
  );
}

const ascii = (text: string): number[] => [...text].map((letter) => letter.charCodeAt(0));
const u16 = (value: number): number[] => [(value >> 8) & 255, value & 255];
const u32 = (value: number): number[] => [...u16(value >>> 16), ...u16(value & 0xffff)];

const box = (type: string, content: ArrayLike<number>): Uint8Array =>
  Uint8Array.from([...u32(content.length + 8), ...ascii(type), ...Array.from(content)]);

const full = (type: string, version: number, flags: number, content: number[]): Uint8Array =>
  box(type, [version, 0, 0, flags, ...content]);

const sizeBox = (width: number, height: number): Uint8Array =>
  full("ispe", 0, 0, [...u32(width), ...u32(height)]);
