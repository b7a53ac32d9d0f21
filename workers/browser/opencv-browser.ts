/// <reference path="./opencv-script.d.ts" />
import type { OpenCV } from "@opencvjs/web";
import start from "@opencvjs/web/lib/opencv_js.js";

type Library = typeof OpenCV;

/** The compiled library, once for all workers: a module that is handed on is not compiled again. */
let handedOver: WebAssembly.Module | null = null;
export const takeModule = (module: WebAssembly.Module): void => {
  handedOver = module;
};

let compiling: Promise<WebAssembly.Module> | null = null;
export function libraryModule(): Promise<WebAssembly.Module> {
  compiling ??= compile().catch((error) => {
    compiling = null;
    throw error;
  });
  return compiling;
}

let started: Promise<Library> | null = null;

/** OpenCV in this worker. Rejects where its file cannot be had or cannot be compiled. */
export function loadOpenCvInBrowser(): Promise<Library> {
  started ??= startLibrary();
  return started;
}

async function startLibrary(): Promise<Library> {
  const module = handedOver ?? (await libraryModule());
  let failed: (reason: unknown) => void = () => undefined;
  const failure = new Promise<never>((_, reject) => {
    failed = reject;
  });
  const library = start({
    instantiateWasm: (imports, use) => {
      WebAssembly.instantiate(module, imports).then((instance) => use(instance, module), failed);
    },
  });
  return Promise.race([library, failure]);
}

/** Compiled while it arrives; servers that do not know WebAssembly's type are read to the end first. */
async function compile(): Promise<WebAssembly.Module> {
  const url = new URL(__OPENCV_WASM__, self.location.href);
  const response = await fetch(url);
  if (!response.ok) throw new Error(`${url.pathname}: ${response.status} ${response.statusText}`);
  const type = response.headers.get("Content-Type") ?? "";
  return type.startsWith("application/wasm") && WebAssembly.compileStreaming
    ? WebAssembly.compileStreaming(response)
    : WebAssembly.compile(await response.arrayBuffer());
}
