import { database } from "../store/database/database.ts";

/** `() -> v128`: `i8x16.splat (i32.const 0)`, the smallest module with a 128-bit vector. */
const vectorModule = Uint8Array.of(
  ...[0, 0x61, 0x73, 0x6d, 1, 0, 0, 0],
  ...[1, 5, 1, 0x60, 0, 1, 0x7b],
  ...[3, 2, 1, 0],
  ...[10, 8, 1, 6, 0, 0x41, 0, 0xfd, 0x0f, 0x0b],
);

/** Whether photos can be measured: WebAssembly with 128-bit vectors, which hardened modes take away. */
export const hasVectors = (): boolean =>
  typeof WebAssembly === "object" && WebAssembly.validate(vectorModule);

/** Whether jobs can be kept: browsers told to store nothing refuse to open a database. */
export async function storesJobs(): Promise<boolean> {
  try {
    await database();
    return true;
  } catch {
    return false;
  }
}
