import { readFileSync } from "node:fs";
import react from "@vitejs/plugin-react";
import { defineConfig } from "vite";
import { demoJob } from "./src/app/pwa/build/vite-demo-job.ts";
import { faceFiles } from "./src/app/pwa/build/vite-faces.ts";
import { openCvScript, openCvWasm } from "./src/app/pwa/build/vite-opencv.ts";
import { precache } from "./src/app/pwa/build/vite-precache.ts";

const { version } = JSON.parse(readFileSync("package.json", "utf8")) as { version: string };

export default defineConfig({
  base: "./",
  plugins: [
    react(),
    demoJob("sample-images/demo-job"),
    faceFiles(),
    openCvScript(),
    openCvWasm(),
    precache(),
  ],
  define: { __APP_VERSION__: JSON.stringify(version) },
  worker: { format: "es", plugins: () => [openCvScript()] },
  build: {
    target: "es2022",
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    rolldownOptions: {
      input: { index: "index.html", sw: "src/app/pwa/service-worker.ts" },
      output: {
        entryFileNames: (chunk) => (chunk.name === "sw" ? "sw.js" : "assets/[name]-[hash].js"),
        // workers/browser/no-eval.ts has to run before any other part makes a schema.
        codeSplitting: {
          groups: [{ name: "zod", test: /node_modules[\\/]zod[\\/]|no-eval/ }],
        },
      },
    },
  },
});
