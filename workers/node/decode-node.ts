/// <reference path="../shared/libheif-js.d.ts" />
import { type DecodedPhoto, decodePhoto } from "../../src/photo/decode.ts";
import { sniffFormat } from "../../src/photo/file/sniff.ts";
import { LumaMemory } from "../../src/photo/grey/luma-memory.ts";
import { heicDecoder } from "../shared/heic.ts";
import type { LibHeifBundle } from "../shared/libheif.ts";

/** A photo decoder with its own memory, for one photo at a time. */
export function nodeDecoder(): (bytes: Uint8Array, name: string) => Promise<DecodedPhoto> {
  const memory = new LumaMemory();
  const heic = heicDecoder(loadLibHeif, memory);
  return async (bytes, name) =>
    sniffFormat(bytes) === "heic" ? heic(bytes, name) : decodePhoto(bytes, name, { memory });
}

/** The library as npm delivers it, so that it can be replaced by another build. */
export const loadLibHeif = (): Promise<LibHeifBundle> =>
  import("libheif-js/libheif-wasm/libheif-bundle.mjs");
