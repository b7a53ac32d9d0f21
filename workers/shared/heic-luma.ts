/**
 * HEIC to grey values with libheif. Phones cut a picture into tiles, which are decoded one after the
 * other: the decoder then needs memory for the file and one tile, not for the picture in colour. The
 * Y plane is taken as it is coded; turn and flip are not applied, so that the picture has the
 * sensor's orientation as a JPEG's has.
 */

import type { LumaImage } from "../../src/photo/grey/luma.ts";
import type { LumaMemory } from "../../src/photo/grey/luma-memory.ts";
import type { HeifCut } from "../../src/photo/heif/heif.ts";
import { maxPixels } from "../../src/photo/jpeg/jpeg.ts";
import type { LibHeif } from "./libheif.ts";

/** From heif_colorspace, heif_chroma and heif_channel of libheif's heif.h. */
const asCoded = 99;
const channelY = 0;
/** Offsets in libheif's structs, all of 32-bit numbers: heif_error and heif_image_tiling. */
const errorCode = 0;
const errorText = 8;
const tilingFields = ["version", "columns", "rows", "tileWidth", "tileHeight", "width", "height"];
/** heif_decoding_options: a byte for the version, then ignore_transformations. */
const ignoreTurns = 1;

export class HeicDamaged extends Error {}
export class HeicWithoutGrey extends Error {}
export class HeicTooLarge extends Error {
  constructor(
    readonly width: number,
    readonly height: number,
  ) {
    super("too many pixels");
  }
}

/** Throws one of the errors above where there is no grey picture to be had. */
export function heicLuma(
  lib: LibHeif,
  bytes: Uint8Array,
  cut: HeifCut | null,
  memory: LumaMemory,
): LumaImage {
  const scratch = new Scratch(lib);
  try {
    const file = scratch.take(bytes.length);
    lib.HEAPU8.set(bytes, file);
    const error = scratch.take(16);
    const context = lib._heif_context_alloc();
    scratch.later(() => lib._heif_context_free(context));
    lib._heif_context_read_from_memory_without_copy(error, context, file, bytes.length, 0);
    scratch.mustBeFine(error);
    const found = scratch.take(4);
    lib._heif_context_get_primary_image_handle(error, context, found);
    scratch.mustBeFine(error);
    const handle = scratch.number(found);
    scratch.later(() => lib._heif_image_handle_release(handle));
    return decodeTiles(lib, scratch, { handle, error }, cut, memory);
  } finally {
    scratch.free();
  }
}

interface Opened {
  readonly handle: number;
  readonly error: number;
}

function decodeTiles(
  lib: LibHeif,
  scratch: Scratch,
  { handle, error }: Opened,
  cut: HeifCut | null,
  memory: LumaMemory,
): LumaImage {
  const at = scratch.take(128);
  lib._heif_image_handle_get_image_tiling(error, handle, 0, at);
  scratch.mustBeFine(error);
  const [, columns, rows, tileWidth, tileHeight, width, height] = tilingFields.map((_, i) =>
    scratch.number(at + 4 * i),
  );
  if (width * height > maxPixels) throw new HeicTooLarge(width, height);
  const part = cut ?? { left: 0, top: 0, width, height };
  const data = new Uint8Array(memory.take(part.width * part.height));
  const options = lib._heif_decoding_options_alloc();
  scratch.later(() => lib._heif_decoding_options_free(options));
  lib.HEAPU8[options + ignoreTurns] = 1;
  const out = scratch.take(4);
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      lib._heif_image_handle_decode_image_tile(
        error,
        handle,
        out,
        asCoded,
        asCoded,
        options,
        column,
        row,
      );
      scratch.mustBeFine(error);
      const image = scratch.number(out);
      try {
        const tile = planeOf(lib, scratch, image);
        const place = { left: column * tileWidth - part.left, top: row * tileHeight - part.top };
        copyTile(tile, place, { ...part, data });
      } finally {
        lib._heif_image_release(image);
      }
    }
  }
  return { width: part.width, height: part.height, data };
}

interface Plane {
  readonly memory: Uint8Array;
  readonly at: number;
  readonly stride: number;
  readonly bits: number;
  readonly width: number;
  readonly height: number;
}

function planeOf(lib: LibHeif, scratch: Scratch, image: number): Plane {
  if (!lib._heif_image_has_channel(image, channelY)) throw new HeicWithoutGrey();
  const stride = scratch.take(4);
  const at = lib._heif_image_get_plane_readonly(image, channelY, stride);
  return {
    memory: lib.HEAPU8,
    at,
    stride: scratch.number(stride),
    bits: lib._heif_image_get_bits_per_pixel_range(image, channelY),
    width: lib._heif_image_get_width(image, channelY),
    height: lib._heif_image_get_height(image, channelY),
  };
}

/** Copies what of the tile lies inside the picture; more than 8 bits are rounded to 8. */
function copyTile(
  { memory, at, stride, bits, width, height }: Plane,
  { left, top }: { readonly left: number; readonly top: number },
  picture: LumaImage,
): void {
  const from = Math.max(0, -left);
  const to = Math.min(width, picture.width - left);
  if (to <= from) return;
  for (let y = Math.max(0, -top); y < height && top + y < picture.height; y++) {
    const target = (top + y) * picture.width + left;
    const source = at + y * stride;
    if (bits <= 8) {
      picture.data.set(memory.subarray(source + from, source + to), target + from);
      continue;
    }
    const shift = bits - 8;
    const half = 1 << (shift - 1);
    for (let x = from; x < to; x++) {
      const value = memory[source + 2 * x] | (memory[source + 2 * x + 1] << 8);
      picture.data[target + x] = Math.min(255, (value + half) >> shift);
    }
  }
}

/** Memory and objects of the module that are given back together. */
class Scratch {
  private readonly undo: (() => void)[] = [];

  constructor(private readonly lib: LibHeif) {}

  take(bytes: number): number {
    const at = this.lib._malloc(bytes);
    if (at === 0) throw new RangeError("WebAssembly memory allocation failed");
    this.undo.push(() => this.lib._free(at));
    return at;
  }

  later(work: () => void): void {
    this.undo.push(work);
  }

  /** A 32-bit number. The memory may have grown and moved since the last call. */
  number(at: number): number {
    const { buffer } = this.lib.HEAPU8;
    return new DataView(buffer).getInt32(at, true);
  }

  mustBeFine(error: number): void {
    if (this.number(error + errorCode) === 0) return;
    throw new HeicDamaged(this.text(this.number(error + errorText)));
  }

  free(): void {
    for (const work of this.undo.reverse()) work();
    this.undo.length = 0;
  }

  private text(at: number): string {
    const end = this.lib.HEAPU8.indexOf(0, at);
    return String.fromCharCode(...this.lib.HEAPU8.subarray(at, Math.min(end, at + 200)));
  }
}
