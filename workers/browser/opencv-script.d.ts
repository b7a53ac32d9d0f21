/** The package's script, which takes Emscripten's settings; its WebAssembly is a file of its own. */
declare module "@opencvjs/web/lib/opencv_js.js" {
  import type { OpenCV } from "@opencvjs/web";
  export default function start(settings: {
    instantiateWasm(
      imports: WebAssembly.Imports,
      use: (instance: WebAssembly.Instance, module: WebAssembly.Module) => void,
    ): void;
  }): Promise<typeof OpenCV>;
}

/** Name of the file with OpenCV's WebAssembly, beside the workers; filled in by the build. */
declare const __OPENCV_WASM__: string;
