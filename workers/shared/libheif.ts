/**
 * The functions of libheif (1.23, LGPL-3.0) that we call, as the WebAssembly build of libheif-js
 * exports them: plain numbers, addresses in the module's memory. Its own JavaScript wrapper gives
 * RGBA, which costs four bytes a pixel and rounds the grey values.
 */
export interface LibHeif {
  readonly HEAPU8: Uint8Array;
  _malloc(bytes: number): number;
  _free(at: number): void;
  _heif_context_alloc(): number;
  _heif_context_free(context: number): void;
  _heif_context_read_from_memory_without_copy(
    error: number,
    context: number,
    at: number,
    bytes: number,
    options: number,
  ): void;
  _heif_context_get_primary_image_handle(error: number, context: number, handle: number): void;
  _heif_image_handle_release(handle: number): void;
  _heif_image_handle_get_image_tiling(
    error: number,
    handle: number,
    turned: number,
    tiling: number,
  ): void;
  _heif_image_handle_decode_image_tile(
    error: number,
    handle: number,
    image: number,
    colourSpace: number,
    chroma: number,
    options: number,
    column: number,
    row: number,
  ): void;
  _heif_decoding_options_alloc(): number;
  _heif_decoding_options_free(options: number): void;
  _heif_image_release(image: number): void;
  _heif_image_has_channel(image: number, channel: number): number;
  _heif_image_get_width(image: number, channel: number): number;
  _heif_image_get_height(image: number, channel: number): number;
  _heif_image_get_bits_per_pixel_range(image: number, channel: number): number;
  _heif_image_get_plane_readonly(image: number, channel: number, stride: number): number;
}

/** A module of libheif-js's bundle, which carries its WebAssembly in itself. */
export interface LibHeifBundle {
  default(): LibHeif;
}
