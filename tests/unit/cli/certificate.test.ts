import { X509Certificate } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { ownCertificate } from "../../../src/cli/server/certificate.ts";

const folder = join(mkdtempSync(join(tmpdir(), "plumbshot-certificate-")), "https");
const file = join(folder, "certificate.json");
afterAll(() => rmSync(join(folder, ".."), { recursive: true }));

test("is made once for its addresses, and kept for nobody else to read", async () => {
  const first = await ownCertificate(folder, ["192.0.2.7"]);
  const read = new X509Certificate(first.cert);
  expect(read.checkIP("192.0.2.7")).toBe("192.0.2.7");
  expect(read.checkHost("localhost")).toBe("localhost");
  expect(statSync(file).mode & 0o077).toBe(0);
  expect(await ownCertificate(folder, ["192.0.2.7"])).toEqual(first);
});

test("is made anew for other addresses, after its time, and from a damaged file", async () => {
  const first = await ownCertificate(folder, ["192.0.2.7"]);
  const other = await ownCertificate(folder, ["192.0.2.8"]);
  expect(other.cert).not.toBe(first.cert);
  const kept = JSON.parse(readFileSync(file, "utf8"));
  for (const damaged of [
    "{",
    "null",
    JSON.stringify({ ...kept, until: "2020-01-01T00:00:00.000Z" }),
    JSON.stringify({ ...kept, cert: 7 }),
  ]) {
    writeFileSync(file, damaged);
    const again = await ownCertificate(folder, ["192.0.2.8"]);
    expect(new X509Certificate(again.cert).checkIP("192.0.2.8")).toBe("192.0.2.8");
    expect(again.cert, damaged).not.toBe(other.cert);
  }
});
