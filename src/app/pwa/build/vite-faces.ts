import { readFileSync } from "node:fs";
import type { Plugin } from "vite";
import { rgbMetadata, withMetadata } from "./face-model.ts";

/**
 * The face detector's files, served from the app's own origin. The version is a part of the folder's
 * name, because stored copies are looked up by name.
 */
const { version } = JSON.parse(
  readFileSync("node_modules/@mediapipe/tasks-vision/package.json", "utf8"),
) as { version: string };
const folder = `faces/${version}`;

const wasm = "node_modules/@mediapipe/tasks-vision/wasm/vision_wasm_module_internal";
const model = "node_modules/@mediapipe/face_detection/face_detection_full_range_sparse.tflite";

const files: Readonly<Record<string, () => Uint8Array>> = {
  "vision_wasm_module_internal.js": () => readFileSync(`${wasm}.js`),
  "vision_wasm_module_internal.wasm": () => readFileSync(`${wasm}.wasm`),
  "face-model.tflite": () => withMetadata(readFileSync(model), rgbMetadata(127.5, 127.5)),
};

/** Serves the detector's files, in the build and while developing. */
export function faceFiles(): Plugin {
  return {
    name: "plumbshot-faces",
    config: () => ({ define: { __FACES_FOLDER__: JSON.stringify(folder) } }),
    generateBundle() {
      for (const [name, read] of Object.entries(files)) {
        this.emitFile({ type: "asset", fileName: `${folder}/${name}`, source: read() });
      }
    },
    configureServer(server) {
      server.middlewares.use(`/${folder}`, (request, response, next) => {
        const name = (request.url ?? "").split("?")[0].slice(1);
        if (!(name in files)) {
          next();
          return;
        }
        const type = name.endsWith(".js") ? "text/javascript" : "application/octet-stream";
        response.setHeader("Content-Type", name.endsWith(".wasm") ? "application/wasm" : type);
        response.end(files[name]());
      });
    },
  };
}
