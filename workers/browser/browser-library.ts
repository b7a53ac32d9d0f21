import type * as Comlink from "comlink";
import type { BrowserVision } from "./vision-worker-browser.ts";

/** OpenCV as the first worker compiled it. */
let shared: Promise<WebAssembly.Module> | null = null;

/**
 * Gives a worker the library that another one has compiled, or takes it from this one, the first.
 * Resolves when the worker may be asked; where sharing fails every worker compiles for itself.
 */
export async function shareLibrary(
  api: Pick<Comlink.Remote<BrowserVision>, "libraryModule" | "takeModule">,
  died: Promise<string>,
): Promise<void> {
  if (shared) {
    const module = await shared.catch(() => null);
    if (module) await api.takeModule(module).catch(() => undefined);
    return;
  }
  const compiled = Promise.race([
    api.libraryModule(),
    died.then((reason) => {
      throw new Error(reason);
    }),
  ]);
  shared = compiled;
  // The worker's own start tells what is wrong; the next worker tries anew.
  await compiled.catch(() => {
    shared = null;
  });
}
