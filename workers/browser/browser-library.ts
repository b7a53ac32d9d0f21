import type * as Comlink from "comlink";
import type { BrowserVision } from "./vision-worker-browser.ts";

/** OpenCV as the first worker compiled it. */
let shared: Promise<WebAssembly.Module> | null = null;

/**
 * Firefox holds a module that arrives in the page against the page's own policy, which allows no
 * WebAssembly (only the workers' does). There every worker compiles for itself. Nothing tells this
 * beforehand without an error in the console, hence the browser's name.
 */
const pageMayHoldModules = (): boolean =>
  typeof navigator === "undefined" || !navigator.userAgent.includes("Firefox/");

/**
 * Gives a worker the library that another one has compiled, or takes it from this one, the first.
 * Resolves when the worker may be asked; where sharing fails every worker compiles for itself.
 */
export async function shareLibrary(
  api: Pick<Comlink.Remote<BrowserVision>, "libraryModule" | "takeModule">,
  died: Promise<string>,
): Promise<void> {
  if (!pageMayHoldModules()) return;
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
