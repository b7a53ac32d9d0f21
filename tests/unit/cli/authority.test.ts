import { X509Certificate } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { createServer as createPlain } from "node:http";
import { createServer, get } from "node:https";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { localName, serverIdentity } from "../../../src/cli/server/authority.ts";
import { authorityPath, fingerprintOf, trustGuide } from "../../../src/cli/server/trust-guide.ts";

const folder = join(mkdtempSync(join(tmpdir(), "plumbshot-authority-")), "https");
afterAll(() => rmSync(join(folder, ".."), { recursive: true }));
const identity = (addresses: string[]) => serverIdentity(folder, addresses, "Bay One");

test("authority and key are made once, and are for nobody else to read", async () => {
  const first = await identity(["192.168.7.3"]);
  const leaf = new X509Certificate(first.leaf.cert);
  expect(leaf.checkIP("192.168.7.3")).toBe("192.168.7.3");
  expect(leaf.checkHost("bay-one.local")).toBe("bay-one.local");
  expect(leaf.checkHost("localhost")).toBe("localhost");
  expect(leaf.ca).toBe(false);
  expect(new X509Certificate(first.authority.cert).ca).toBe(true);
  for (const name of ["authority.json", "server.json"]) {
    expect(statSync(join(folder, name)).mode & 0o077).toBe(0);
  }
  expect(statSync(folder).mode & 0o077).toBe(0);
  expect(await identity(["192.168.7.3"])).toEqual(first);
});

test("another address needs another leaf, not another authority", async () => {
  const first = await identity(["192.168.7.3"]);
  const second = await identity(["192.168.7.4", "203.0.113.9"]);
  expect(second.authority).toEqual(first.authority);
  expect(new X509Certificate(second.leaf.cert).checkIP("192.168.7.4")).toBe("192.168.7.4");
  // A public address is none of its business.
  expect(second.names).not.toContain("203.0.113.9");
});

test("a damaged file is made anew", async () => {
  const first = await identity(["192.168.7.3"]);
  writeFileSync(join(folder, "server.json"), "{");
  expect((await identity(["192.168.7.3"])).authority).toEqual(first.authority);
  writeFileSync(join(folder, "authority.json"), "null");
  const other = await identity(["192.168.7.3"]);
  expect(other.authority.cert).not.toBe(first.authority.cert);
  expect(
    new X509Certificate(other.leaf.cert).verify(
      new X509Certificate(other.authority.cert).publicKey,
    ),
  ).toBe(true);
});

/** What a client that trusts the authority says to a server with this leaf. */
async function asked(cert: string, key: string, ca: string): Promise<string> {
  const server = createServer({ cert, key }, (_, response) => response.end("hello"));
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  try {
    return await new Promise((resolve) => {
      get({ host: "127.0.0.1", port, ca, agent: false }, (response) => {
        response.resume();
        resolve("trusted");
      }).on("error", (error: NodeJS.ErrnoException) => resolve(error.code ?? error.message));
    });
  } finally {
    server.close();
  }
}

test("OpenSSL trusts a leaf for a private address, and not without the authority", async () => {
  const { leaf, authority } = await identity(["127.0.0.1"]);
  expect(await asked(leaf.cert, leaf.private, authority.cert)).toBe("trusted");
  const stranger = await serverIdentity(join(folder, "other"), ["127.0.0.1"], "else");
  expect(await asked(leaf.cert, leaf.private, stranger.authority.cert)).not.toBe("trusted");
});

test("its names are constrained to private networks and .local", async () => {
  const { authority } = await identity(["127.0.0.1"]);
  const text = new X509Certificate(authority.cert).raw.toString("latin1");
  // OID 2.5.29.30, marked critical.
  expect(text).toContain("\x06\x03\x55\x1d\x1e\x01\x01\xff");
  expect(text).toContain(String.fromCharCode(192, 168, 0, 0, 255, 255, 0, 0));
  expect(text).toContain("local");
});

test("the name in the own network", () => {
  expect([localName("Bay One"), localName("shop.local"), localName("PC_2")]).toEqual([
    "bay-one.local",
    "shop.local",
    "pc-2.local",
  ]);
});

test("the guide serves the certificate and the steps, in two languages, and no key", async () => {
  const { authority } = await identity(["127.0.0.1"]);
  const server = createPlain(trustGuide(authority.cert, ["https://192.168.7.3:8080/"]));
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address() as AddressInfo;
  const page = async (path: string, language: string) =>
    fetch(`http://127.0.0.1:${port}${path}`, { headers: { "accept-language": language } });
  try {
    const english = await (await page("/", "en")).text();
    expect(english).toContain("Certificate Trust Settings");
    expect(english).toContain("Remove Profile");
    expect(english).toContain(fingerprintOf(authority.cert));
    expect(english).not.toContain("PRIVATE");
    expect(await (await page("/", "es-ES")).text()).toContain("Cargar el certificado");
    const file = await page(authorityPath, "en");
    expect(file.headers.get("content-type")).toBe("application/x-x509-ca-cert");
    const loaded = new X509Certificate(Buffer.from(await file.arrayBuffer()));
    expect(loaded.fingerprint256).toBe(new X509Certificate(authority.cert).fingerprint256);
    expect((await page("/authority.json", "en")).status).toBe(404);
  } finally {
    server.close();
  }
  expect(readFileSync(join(folder, "authority.json"), "utf8")).toContain("PRIVATE KEY");
});
