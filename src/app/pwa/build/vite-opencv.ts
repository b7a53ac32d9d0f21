import { createHash } from "node:crypto";
import { readFileSync } from "node:fs";
import type { Plugin } from "vite";
import { type OpenCvParts, openCvParts } from "./opencv-parts.ts";

const file = "@opencvjs/web/lib/opencv_js.js";

let made: OpenCvParts | null = null;
const parts = (): OpenCvParts => {
  made ??= openCvParts(readFileSync(`node_modules/${file}`, "utf8"));
  return made;
};
let named: string | null = null;
const wasmName = (): string => {
  named ??= `opencv-${createHash("sha256").update(parts().wasm).digest("hex").slice(0, 8)}.wasm`;
  return named;
};

/** Puts the script without its WebAssembly in the place of the package's file; for workers as well. */
export const openCvScript = (): Plugin => ({
  name: "plumbshot-opencv-script",
  enforce: "pre",
  load: (id) => (id.split("?")[0].endsWith(file) ? parts().script : null),
});

/** Delivers the WebAssembly beside the workers, in the build and while developing. */
export const openCvWasm = (): Plugin => ({
  name: "plumbshot-opencv-wasm",
  config: () => ({ define: { __OPENCV_WASM__: JSON.stringify(wasmName()) } }),
  generateBundle() {
    this.emitFile({ type: "asset", fileName: `assets/${wasmName()}`, source: parts().wasm });
  },
  configureServer(server) {
    server.middlewares.use((request, response, next) => {
      if (!request.url?.split("?")[0].endsWith(wasmName())) return next();
      response.setHeader("Content-Type", "application/wasm");
      response.end(parts().wasm);
    });
  },
});
