/**
 * A folder of this computer as a WebDAV store (RFC 4918, the few methods that replication uses), under
 * the address of the app itself: phones in the shop's network replicate without any other server.
 * Everything in it is sealed by the devices; the password keeps strangers from filling the disk.
 */
import { randomBytes, timingSafeEqual } from "node:crypto";
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import type { IncomingMessage, RequestListener, ServerResponse } from "node:http";
import { join } from "node:path";
import type { Bytes, Store } from "../../replicate/stores/store.ts";

/** A photo of 200 megapixels is smaller. */
const largestBody = 256e6;

/** Names that replication writes; anything else is refused, so that no path leads out of the folder. */
const plainPath = /^[\w.-]+(\/[\w.-]+)*$/;

export interface ShopFolder {
  readonly store: Store;
  readonly user: string;
  readonly password: string;
}

/** User and password of the store in a folder, made at the first start and kept in the folder. */
export function folderLogin(folder: string): { readonly user: string; readonly password: string } {
  const file = join(folder, "password.txt");
  mkdirSync(folder, { recursive: true });
  if (!existsSync(file)) {
    writeFileSync(file, `${randomBytes(9).toString("base64url")}\n`, { mode: 0o600 });
  }
  return { user: "shop", password: readFileSync(file, "utf8").trim() };
}

/** Answers below `prefix` ("/store/"); null for all other addresses. */
export function shopFolder(
  prefix: string,
  folder: ShopFolder,
): (...r: Parameters<RequestListener>) => boolean {
  return (request, response) => {
    const path = new URL(request.url ?? "/", "http://localhost").pathname;
    if (!`${path}/`.startsWith(prefix)) return false;
    const inside = path.slice(prefix.length).replace(/\/+$/, "");
    answer(folder, request, response, inside).catch((error: unknown) => {
      console.error(error);
      if (!response.headersSent) end(response, 500);
      else response.destroy();
    });
    return true;
  };
}

function end(response: ServerResponse, status: number, headers: Record<string, string> = {}): void {
  response.writeHead(status, { "Content-Length": "0", ...headers });
  response.end();
}

async function answer(
  folder: ShopFolder,
  request: IncomingMessage,
  response: ServerResponse,
  path: string,
): Promise<void> {
  if (!isAllowed(folder, request)) {
    request.resume();
    return end(response, 401, { "WWW-Authenticate": 'Basic realm="Plumbshot", charset="UTF-8"' });
  }
  if (
    path !== "" &&
    (!plainPath.test(path) || path.split("/").some((part) => /^\.+$/.test(part)))
  ) {
    request.resume();
    return end(response, 403);
  }
  const { store } = folder;
  switch (request.method) {
    case "PROPFIND":
      request.resume();
      return list(store, response, path, request.url ?? "/");
    case "GET":
    case "HEAD":
      return send(store, response, path, request.method === "HEAD");
    case "PUT":
      return put(store, request, response, path);
    case "MKCOL":
      // Folders come by themselves with what is put into them.
      return end(response, 201);
    case "DELETE":
      if (path === "") return end(response, 403);
      await store.delete(path);
      return end(response, 204);
    default:
      request.resume();
      return end(response, 405, { Allow: "GET, HEAD, PUT, DELETE, MKCOL, PROPFIND", DAV: "1" });
  }
}

function isAllowed({ user, password }: ShopFolder, request: IncomingMessage): boolean {
  const given = Buffer.from(request.headers.authorization ?? "");
  const wanted = Buffer.from(`Basic ${Buffer.from(`${user}:${password}`).toString("base64")}`);
  return given.length === wanted.length && timingSafeEqual(given, wanted);
}

async function list(
  store: Store,
  response: ServerResponse,
  path: string,
  url: string,
): Promise<void> {
  const base = url.replace(/\/*$/, "/");
  const members = await store.list(path);
  const one = (href: string, isFolder: boolean, bytes: number): string =>
    `<D:response><D:href>${href}</D:href><D:propstat><D:prop><D:resourcetype>${
      isFolder ? "<D:collection/>" : ""
    }</D:resourcetype>${isFolder ? "" : `<D:getcontentlength>${bytes}</D:getcontentlength>`}` +
    "</D:prop><D:status>HTTP/1.1 200 OK</D:status></D:propstat></D:response>";
  const body = Buffer.from(
    `<?xml version="1.0" encoding="utf-8"?><D:multistatus xmlns:D="DAV:">${[
      one(base, true, 0),
      ...members.map(({ name, folder, bytes }) =>
        one(`${base}${name}${folder ? "/" : ""}`, folder, bytes),
      ),
    ].join("")}</D:multistatus>`,
  );
  response.writeHead(207, {
    "Content-Type": "application/xml; charset=utf-8",
    "Content-Length": body.length,
    "Cache-Control": "no-store",
  });
  response.end(body);
}

async function send(
  store: Store,
  response: ServerResponse,
  path: string,
  headOnly: boolean,
): Promise<void> {
  const head = await store.head(path);
  const bytes = head && !headOnly ? await store.get(path) : null;
  if (!head || (!headOnly && !bytes)) return end(response, 404);
  response.writeHead(200, {
    "Content-Type": "application/octet-stream",
    "Content-Length": head.bytes,
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    ...(head.storedAt === null ? {} : { "Last-Modified": new Date(head.storedAt).toUTCString() }),
  });
  response.end(bytes ?? undefined);
}

async function put(
  store: Store,
  request: IncomingMessage,
  response: ServerResponse,
  path: string,
): Promise<void> {
  if (path === "") return end(response, 405);
  const parts: Buffer[] = [];
  let length = 0;
  for await (const part of request as AsyncIterable<Buffer>) {
    length += part.length;
    if (length > largestBody) return end(response, 413, { Connection: "close" });
    parts.push(part);
  }
  // A connection that broke off leaves nothing: half a body is no object.
  const stated = Number(request.headers["content-length"] ?? length);
  if (stated !== length) return end(response, 400);
  const bytes = new Uint8Array(Buffer.concat(parts)) as Bytes;
  if (request.headers["if-none-match"] === "*") {
    return end(response, (await store.putIfAbsent(path, bytes)) === "stored" ? 201 : 412);
  }
  await store.replace(path, bytes);
  return end(response, 204);
}
