import { createReadStream, readFileSync, statSync } from "node:fs";
import type { RequestListener } from "node:http";
import { extname, join, normalize, relative, resolve, sep } from "node:path";
import { pipeline } from "node:stream";

const types: Record<string, string> = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript; charset=utf-8",
  ".mjs": "text/javascript; charset=utf-8",
  ".css": "text/css; charset=utf-8",
  ".json": "application/json; charset=utf-8",
  ".webmanifest": "application/manifest+json; charset=utf-8",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".jpg": "image/jpeg",
  ".jpeg": "image/jpeg",
  ".pdf": "application/pdf",
  ".woff2": "font/woff2",
  ".wasm": "application/wasm",
};

/** What one start of the server adds to the built app. */
export interface Served {
  /** Origin of the one store that the page may speak to besides this server; null for none. */
  readonly store: string | null;
  /** Where this server itself keeps a store, for instance "/store/"; null for nowhere. */
  readonly ownStore: string | null;
}

/**
 * Nothing from elsewhere but the store that was named at the start, no inline script. The vision code
 * compiles WebAssembly and builds small functions from text, so its worker file alone gets the two
 * extra permissions.
 */
const pageSecurityPolicy = ({ store }: Served): string =>
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; " +
  `font-src 'self'; connect-src 'self'${store ? ` ${store}` : ""}; worker-src 'self'; ` +
  "manifest-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'";

/** The page carries its policy itself, too, and says which stores it may speak to. */
const pageWith = (html: string, { store, ownStore }: Served): string =>
  html
    .replace("connect-src 'self'", `connect-src 'self'${store ? ` ${store}` : ""}`)
    .replace(
      "<title>",
      `${store ? `<meta name="plumbshot-store" content="${store}" />` : ""}${
        ownStore ? `<meta name="plumbshot-own-store" content="${ownStore}" />` : ""
      }<title>`,
    );

/** Another store makes another service worker, so that a stored page does not keep an old policy. */
const workerWith = (script: string, { store, ownStore }: Served): string =>
  `${script}\n// ${store} ${ownStore}\n`;

/** A file that a start changes; null for all others. */
function changed(name: string, file: string, served: Served): Buffer | null {
  if (!served.store && !served.ownStore) return null;
  if (name === "index.html") return Buffer.from(pageWith(readFileSync(file, "utf8"), served));
  return name === "sw.js" ? Buffer.from(workerWith(readFileSync(file, "utf8"), served)) : null;
}
const visionWorkerSecurityPolicy =
  "default-src 'none'; script-src 'self' 'unsafe-eval' 'wasm-unsafe-eval'; connect-src 'self'";
/** Face detector and picture decoder compile WebAssembly, and speak to nobody but this server. */
const wasmWorkerSecurityPolicy =
  "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'";

const securityPolicyOf = (path: string, served: Served): string => {
  if (/vision-worker[^/]*\.js$/.test(path)) return visionWorkerSecurityPolicy;
  const withWasm = /(face|thumb)-worker[^/]*\.js$/.test(path);
  return withWasm ? wasmWorkerSecurityPolicy : pageSecurityPolicy(served);
};

/** Serves a built folder, with the security headers that the app is written for. */
export const staticFiles = (
  folder: string,
  served: Served = { store: null, ownStore: null },
): RequestListener => {
  const root = resolve(folder);
  return (request, response) => {
    const path = decodePath(request.url ?? "/");
    const file = path === null ? null : findFile(root, path);
    response.setHeader("X-Content-Type-Options", "nosniff");
    response.setHeader("Referrer-Policy", "no-referrer");
    response.setHeader("Cross-Origin-Opener-Policy", "same-origin");
    if (!file || (request.method !== "GET" && request.method !== "HEAD")) {
      if (file) response.setHeader("Allow", "GET, HEAD");
      response.writeHead(file ? 405 : 404, { "Content-Type": "text/plain; charset=utf-8" });
      return response.end(file ? "Only reading is possible here." : "There is no such file here.");
    }
    response.setHeader("Content-Security-Policy", securityPolicyOf(file.path, served));
    const own = changed(relative(root, file.path), file.path, served);
    const hashed = file.path.includes(`${sep}assets${sep}`);
    response.writeHead(200, {
      "Content-Type": types[extname(file.path).toLowerCase()] ?? "application/octet-stream",
      "Content-Length": own?.length ?? file.size,
      "Cache-Control": hashed ? "public, max-age=31536000, immutable" : "no-cache",
    });
    if (request.method === "HEAD") return response.end();
    if (own) return response.end(own);
    // Either side may break off: the other is closed, and the server lives on.
    pipeline(createReadStream(file.path), response, () => undefined);
  };
};

const decodePath = (url: string): string | null => {
  try {
    return decodeURIComponent(new URL(url, "http://localhost").pathname);
  } catch {
    return null;
  }
};

const findFile = (root: string, path: string): { path: string; size: number } | null => {
  const wanted = normalize(join(root, path.endsWith("/") ? `${path}index.html` : path));
  if (wanted !== root && !wanted.startsWith(root + sep)) return null;
  try {
    const stat = statSync(wanted);
    return stat.isFile() ? { path: wanted, size: stat.size } : null;
  } catch {
    return null;
  }
};
