/**
 * A store by Amazon's S3 protocol, addresses in path style, requests signed with Signature Version 4
 * by aws4fetch. Any service that speaks it: Ceph, SeaweedFS, Garage, OpenStack Swift, a cloud.
 */
import { sha256 } from "@noble/hashes/sha2.js";
import { bytesToHex } from "@noble/hashes/utils.js";
import { AwsV4Signer } from "aws4fetch";
import { StoreFault } from "../faults/faults.ts";
import type { S3Address } from "../formats/address.ts";
import { type Answer, ask, faultOf, lengthOf, type Send, timeOf } from "./http.ts";
import type { Bytes, Listed, Store } from "./store.ts";
import { all, first, rootOf } from "./xml.ts";

/** `now`: ms since 1970, by this device's clock; a signature says when it was made. */
export function s3Store(where: S3Address, send: Send, now: () => number): Store {
  const address = `${where.url.replace(/\/+$/, "")}/${where.bucket}`;
  const folder = where.folder.replace(/^\/+|\/+$/g, "");
  const within = (path: string): string => (folder === "" ? path : `${folder}/${path}`);

  /** False once the service has said that it knows no conditions (501, as OpenStack Swift does). */
  let conditional = true;

  async function request(
    method: string,
    url: string,
    headers: Record<string, string> = {},
    body?: Bytes,
  ): Promise<Answer> {
    const hash = bytesToHex(sha256(body ?? new Uint8Array()));
    const signed = await new AwsV4Signer({
      method,
      url,
      headers: { ...headers, "X-Amz-Content-Sha256": hash },
      accessKeyId: where.accessKey,
      secretAccessKey: where.secretKey,
      region: where.region,
      service: "s3",
      datetime: signingTime(now()),
    }).sign();
    const given: Record<string, string> = {};
    signed.headers.forEach((value: string, name: string) => {
      given[name] = value;
    });
    return ask(send, address, { method, url: signed.url.toString(), headers: given, body });
  }
  const urlOf = (path: string): string => `${address}/${within(path)}`;

  async function page(prefix: string, from: string | null): Promise<Answer> {
    const query = new Map([
      ["list-type", "2"],
      ["delimiter", "/"],
      ["prefix", prefix],
      ...(from === null ? [] : [["continuation-token", from] as const]),
    ]);
    const text = [...query].map(([name, value]) => `${name}=${encodeURIComponent(value)}`);
    const answer = await request("GET", `${address}?${text.join("&")}`);
    if (answer.status !== 200) throw faultOf(answer, address, false);
    return answer;
  }

  return {
    address,
    async list(path) {
      const prefix = within(path === "" ? "" : `${path}/`);
      const listed: Listed[] = [];
      let from: string | null = null;
      do {
        const answer: Answer = await page(prefix, from);
        const root = rootOf(new TextDecoder().decode(answer.body));
        if (!root) throw new StoreFault("no-store", { address, status: answer.status });
        listed.push(...membersIn(root, prefix));
        from = first(root, "IsTruncated") === "true" ? first(root, "NextContinuationToken") : null;
      } while (from !== null);
      return listed;
    },
    async head(path) {
      const answer = await request("HEAD", urlOf(path));
      if (answer.status === 404) return null;
      if (answer.status !== 200) throw faultOf(answer, address, false);
      const bytes = lengthOf(answer) ?? (await this.get(path))?.length ?? 0;
      return { bytes, storedAt: timeOf(answer.header("Last-Modified")) };
    },
    async get(path) {
      const answer = await request("GET", urlOf(path));
      if (answer.status === 404 && !/NoSuchBucket/.test(textOf(answer))) return null;
      if (answer.status !== 200) throw faultOf(answer, address, false);
      return answer.body;
    },
    async putIfAbsent(path, bytes) {
      if (conditional) {
        const answer = await request("PUT", urlOf(path), { "If-None-Match": "*" }, bytes);
        // 409: another device stores the same object at this moment.
        if (answer.status === 412 || answer.status === 409) return "present";
        if (answer.status === 200) return "stored";
        if (answer.status !== 501) throw faultOf(answer, address, true);
        conditional = false;
      }
      if (await this.head(path)) return "present";
      await this.replace(path, bytes);
      return "stored";
    },
    async replace(path, bytes) {
      const answer = await request("PUT", urlOf(path), {}, bytes);
      if (answer.status !== 200) throw faultOf(answer, address, true);
    },
    async delete(path) {
      const answer = await request("DELETE", urlOf(path));
      if (![200, 204, 404].includes(answer.status)) throw faultOf(answer, address, true);
    },
  };
}

const textOf = ({ body }: Answer): string => new TextDecoder().decode(body.slice(0, 2000));

/** "20261130T224110Z". */
const signingTime = (ms: number): string => new Date(ms).toISOString().replace(/[:-]|\.\d{3}/g, "");

function membersIn(root: NonNullable<ReturnType<typeof rootOf>>, prefix: string): Listed[] {
  const nameIn = (path: string): string => path.slice(prefix.length).replace(/\/$/, "");
  const folders = all(root, "CommonPrefixes").map((item) => ({
    name: nameIn(first(item, "Prefix") ?? ""),
    folder: true,
    bytes: 0,
  }));
  const objects = all(root, "Contents").map((item) => ({
    name: nameIn(first(item, "Key") ?? ""),
    folder: false,
    bytes: Number(first(item, "Size") ?? 0),
  }));
  return [...folders, ...objects].filter(({ name }) => name !== "");
}
