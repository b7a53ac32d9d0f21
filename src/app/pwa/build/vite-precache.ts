import { createHash } from "node:crypto";
import { readdirSync, readFileSync } from "node:fs";
import type { Plugin } from "vite";

/** Larger files are stored in the background after the first visit, not while installing. */
const isLater = (name: string): boolean =>
  /vision-worker|opencv-|libheif|\.pdf$|^faces\//.test(name);

/** Sample photos are copied into the database when the demo is opened. */
const isLeftOut = (name: string): boolean => name.startsWith("demo/") || name === "sw.js";

/** Writes the lists of files into the service worker, with a version that any change renews. */
export function precache(): Plugin {
  return {
    name: "plumbshot-precache",
    apply: "build",
    enforce: "post",
    generateBundle(_options, bundle) {
      const worker = bundle["sw.js"];
      if (worker?.type !== "chunk") {
        throw new Error("The service worker is missing from the build.");
      }
      const hash = createHash("sha256");
      const names = Object.keys(bundle).filter((name) => !isLeftOut(name));
      const publicNames = readdirSync("public");
      for (const name of names.sort()) {
        const item = bundle[name];
        hash.update(name).update(item.type === "chunk" ? item.code : item.source);
      }
      for (const name of publicNames) {
        hash.update(name).update(readFileSync(`public/${name}`));
      }
      const lists = {
        version: hash.digest("hex").slice(0, 12),
        shell: [...names.filter((name) => !isLater(name)), ...publicNames],
        rest: names.filter(isLater),
      };
      worker.code = worker.code
        .replace("__PRECACHE__", JSON.stringify(lists))
        .replace(/export\s*\{\s*\};?/, "");
    },
  };
}
