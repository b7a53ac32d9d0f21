import { createReadStream, statSync } from "node:fs";
import type { RequestListener } from "node:http";
import { extname, join, normalize, resolve, sep } from "node:path";
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

/**
 * Nothing from elsewhere, no inline script. The vision code compiles WebAssembly and builds small
 * functions from text, so its worker file alone gets the two extra permissions.
 */
const pageSecurityPolicy =
  "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob: data:; " +
  "font-src 'self'; connect-src 'self'; worker-src 'self'; manifest-src 'self'; " +
  "base-uri 'none'; form-action 'none'; frame-ancestors 'none'";
const visionWorkerSecurityPolicy =
  "default-src 'none'; script-src 'self' 'unsafe-eval' 'wasm-unsafe-eval'; connect-src 'self'";
/** Face detector and picture decoder compile WebAssembly, and speak to nobody but this server. */
const wasmWorkerSecurityPolicy =
  "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; connect-src 'self'";

const securityPolicyOf = (path: string): string => {
  if (/vision-worker[^/]*\.js$/.test(path)) return visionWorkerSecurityPolicy;
  const withWasm = /(face|thumb)-worker[^/]*\.js$/.test(path);
  return withWasm ? wasmWorkerSecurityPolicy : pageSecurityPolicy;
};

/** Serves a built folder, with the security headers that the app is written for. */
export const staticFiles = (folder: string): RequestListener => {
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
    response.setHeader("Content-Security-Policy", securityPolicyOf(file.path));
    const hashed = file.path.includes(`${sep}assets${sep}`);
    response.writeHead(200, {
      "Content-Type": types[extname(file.path).toLowerCase()] ?? "application/octet-stream",
      "Content-Length": file.size,
      "Cache-Control": hashed ? "public, max-age=31536000, immutable" : "no-cache",
    });
    if (request.method === "HEAD") return response.end();
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
