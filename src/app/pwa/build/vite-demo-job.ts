import { createReadStream, existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Plugin } from "vite";

const isPhoto = (name: string): boolean => /\.jpe?g$/i.test(name);

const photosIn = (folder: string): string[] =>
  existsSync(folder) ? readdirSync(folder).filter(isPhoto).sort() : [];

/** job.json with its placement sheet put in, and the names of the photos. */
function demoIndex(folder: string): string {
  const read = (name: string) => JSON.parse(readFileSync(join(folder, name), "utf8"));
  const job = read("job.json");
  if (typeof job.placement === "string") {
    job.placement = read(job.placement);
  }
  return JSON.stringify({
    job,
    camera: photosIn(join(folder, "camera")),
    photos: photosIn(join(folder, "photos")),
  });
}

/** Serves the sample job under demo/, in the build and while developing. */
export function demoJob(folder: string): Plugin {
  return {
    name: "plumbshot-demo-job",
    generateBundle() {
      this.emitFile({ type: "asset", fileName: "demo/index.json", source: demoIndex(folder) });
      for (const part of ["camera", "photos"]) {
        for (const name of photosIn(join(folder, part))) {
          const source = readFileSync(join(folder, part, name));
          this.emitFile({ type: "asset", fileName: `demo/${part}/${name}`, source });
        }
      }
    },
    configureServer(server) {
      server.middlewares.use("/demo", (request, response, next) => {
        const path = (request.url ?? "").split("?")[0];
        if (path === "/index.json") {
          response.setHeader("Content-Type", "application/json");
          response.end(demoIndex(folder));
        } else if (/^\/(camera|photos)\/[^/]+$/.test(path) && existsSync(join(folder, path))) {
          response.setHeader("Content-Type", "image/jpeg");
          createReadStream(join(folder, path)).pipe(response);
        } else {
          next();
        }
      });
    },
  };
}
