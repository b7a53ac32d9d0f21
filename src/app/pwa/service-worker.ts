/// <reference lib="webworker" />
/**
 * Works offline after the first visit. Two lists come from the build: `shell` (everything a page
 * needs, stored while installing) and `rest` (vision code, prints: stored in the background when
 * the page asks). A new version waits until no tab uses the old one, so no job is interrupted.
 */
export {};

declare const self: ServiceWorkerGlobalScope;
/** Filled in by the build. */
declare const __PRECACHE__: {
  readonly version: string;
  readonly shell: readonly string[];
  readonly rest: readonly string[];
};

const { version, shell, rest } = __PRECACHE__;
const shellCache = `plumbshot-shell-${version}`;
/** Names in `rest` carry a hash of their content, so one cache serves all versions. */
const restCache = "plumbshot-rest";

const absolute = (path: string): string => new URL(path, self.registration.scope).href;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches.open(shellCache).then((cache) => {
      const requests = shell.map((path) => new Request(absolute(path), { cache: "no-cache" }));
      return cache.addAll(requests);
    }),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(tidy().then(() => self.clients.claim()));
});

/** Removes earlier shells and what is no longer in the rest. */
async function tidy(): Promise<void> {
  for (const name of await caches.keys()) {
    if (name.startsWith("plumbshot-shell-") && name !== shellCache) {
      await caches.delete(name);
    }
  }
  const cache = await caches.open(restCache);
  const wanted = new Set(rest.map(absolute));
  for (const request of await cache.keys()) {
    if (!wanted.has(request.url)) {
      await cache.delete(request);
    }
  }
}

self.addEventListener("message", (event) => {
  if (event.data === "take over") {
    void self.skipWaiting();
  }
  if (event.data === "fetch the rest") {
    event.waitUntil(fetchRest(event.source as Client | null));
  }
});

async function fetchRest(asker: Client | null): Promise<void> {
  const cache = await caches.open(restCache);
  for (const path of rest) {
    if (!(await cache.match(absolute(path)))) {
      await cache.add(absolute(path));
    }
  }
  asker?.postMessage("all ready");
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  if (request.method === "GET" && new URL(request.url).origin === self.location.origin) {
    event.respondWith(answer(request));
  }
});

/** From the caches first; every page address leads to the one page there is. */
async function answer(request: Request): Promise<Response> {
  const isPage = request.mode === "navigate" && !new URL(request.url).pathname.endsWith(".pdf");
  const key = isPage ? absolute("index.html") : request;
  const options = { ignoreSearch: isPage };
  const stored =
    (await (await caches.open(shellCache)).match(key, options)) ??
    (await (await caches.open(restCache)).match(key, options));
  if (stored) {
    return stored;
  }
  const response = await fetch(request);
  if (response.ok && rest.map(absolute).includes(request.url)) {
    const copy = response.clone();
    void caches.open(restCache).then((cache) => cache.put(request, copy));
  }
  return response;
}
