/** A store by WebDAV (RFC 4918): Apache, Nextcloud, a network storage, or `npm start`'s own folder. */
import { StoreFault } from "../faults/faults.ts";
import type { WebdavAddress } from "../formats/address.ts";
import { type Answer, ask, faultOf, lengthOf, type Send, timeOf } from "./http.ts";
import type { Bytes, Listed, Store } from "./store.ts";
import { all, first, rootOf } from "./xml.ts";

const wanted =
  '<?xml version="1.0" encoding="utf-8"?><propfind xmlns="DAV:"><prop>' +
  "<resourcetype/><getcontentlength/></prop></propfind>";

/** Basic authentication in UTF-8 (RFC 7617). */
function authorization({ user, password }: WebdavAddress): Record<string, string> {
  if (user === "" && password === "") return {};
  const bytes = new TextEncoder().encode(`${user}:${password}`);
  const binary = Array.from(bytes, (byte) => String.fromCharCode(byte)).join("");
  return { Authorization: `Basic ${btoa(binary)}` };
}

export function webdavStore(where: WebdavAddress, send: Send): Store {
  const address = where.url;
  const base = where.url.replace(/\/+$/, "");
  const urlOf = (path: string): string => (path === "" ? `${base}/` : `${base}/${path}`);
  const own = authorization(where);
  /** Folders that are there for certain. */
  const made = new Set<string>([""]);

  const request = (
    method: string,
    path: string,
    headers: Record<string, string> = {},
    body?: Bytes,
  ): Promise<Answer> =>
    ask(send, address, { method, url: urlOf(path), headers: { ...own, ...headers }, body });

  async function makeFolder(folder: string): Promise<void> {
    if (made.has(folder)) return;
    const parent = folder.slice(0, Math.max(0, folder.lastIndexOf("/")));
    await makeFolder(parent);
    const answer = await request("MKCOL", `${folder}/`);
    // 405: it is there already.
    if (![200, 201, 405].includes(answer.status)) {
      throw answer.status === 409
        ? new StoreFault("not-there", { address })
        : faultOf(answer, address, true);
    }
    made.add(folder);
  }

  /** Stores; makes the folder where the store says that it is missing. */
  async function put(
    path: string,
    bytes: Bytes,
    condition: Record<string, string>,
  ): Promise<Answer> {
    const headers = { "Content-Type": "application/octet-stream", ...condition };
    const answer = await request("PUT", path, headers, bytes);
    if (answer.status !== 409 && answer.status !== 404) return answer;
    const folder = path.slice(0, path.lastIndexOf("/"));
    // Somebody may have taken a folder away since it was made.
    for (const known of [...made]) if (known !== "") made.delete(known);
    await makeFolder(folder);
    return request("PUT", path, headers, bytes);
  }

  const isStored = ({ status }: Answer): boolean => [200, 201, 204].includes(status);

  return {
    address,
    async list(folder) {
      const headers = { Depth: "1", "Content-Type": "application/xml; charset=utf-8" };
      const body = new TextEncoder().encode(wanted);
      const answer = await request(
        "PROPFIND",
        `${folder}${folder === "" ? "" : "/"}`,
        headers,
        body,
      );
      if (answer.status === 404 && folder !== "") return [];
      if (answer.status !== 207) throw faultOf(answer, address, false);
      return listedIn(answer, address);
    },
    async head(path) {
      const answer = await request("HEAD", path);
      if (answer.status === 404) return null;
      if (answer.status !== 200) throw faultOf(answer, address, false);
      const bytes = lengthOf(answer) ?? (await this.get(path))?.length ?? 0;
      return { bytes, storedAt: timeOf(answer.header("Last-Modified")) };
    },
    async get(path) {
      const answer = await request("GET", path);
      if (answer.status === 404) return null;
      if (answer.status !== 200) throw faultOf(answer, address, false);
      return answer.body;
    },
    async putIfAbsent(path, bytes) {
      const answer = await put(path, bytes, { "If-None-Match": "*" });
      if (answer.status === 412) return "present";
      if (!isStored(answer)) throw faultOf(answer, address, true);
      return "stored";
    },
    async replace(path, bytes) {
      const answer = await put(path, bytes, {});
      if (!isStored(answer)) throw faultOf(answer, address, true);
    },
    async delete(path) {
      const answer = await request("DELETE", path);
      if (![200, 202, 204, 404, 410].includes(answer.status)) throw faultOf(answer, address, true);
    },
  };
}

/** Members of a folder from a multi-status answer; the folder itself, which comes first, is left out. */
function listedIn(answer: Answer, address: string): Listed[] {
  const root = rootOf(new TextDecoder().decode(answer.body));
  if (!root) throw new StoreFault("no-store", { address, status: answer.status });
  const responses = all(root, "response").map((response) => ({
    path: (first(response, "href") ?? "").replace(/\/+$/, ""),
    folder: all(response, "collection").length > 0,
    bytes: Number(first(response, "getcontentlength") ?? 0),
  }));
  const shortest = Math.min(...responses.map(({ path }) => path.length));
  return responses
    .filter(({ path }) => path.length > shortest)
    .map(({ path, folder, bytes }) => ({
      name: plainNameOf(path.slice(path.lastIndexOf("/") + 1)),
      folder,
      bytes: folder ? 0 : bytes,
    }));
}

/** Names of ours need no escape; what cannot be read is nobody's of ours. */
function plainNameOf(written: string): string {
  try {
    return decodeURIComponent(written);
  } catch {
    return written;
  }
}
