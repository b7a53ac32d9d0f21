/** The app by https with this machine's own authority, in a Chromium profile that trusts it. */
import { mkdtempSync, rmSync } from "node:fs";
import { createServer, type Server } from "node:https";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { afterAll, beforeAll, expect, test } from "vitest";
import { serverIdentity } from "../../src/cli/server/authority.ts";
import { staticFiles } from "../../src/cli/server/static-files.ts";
import { chromiumFlags, ensureChromium } from "../tools/debian.ts";
import { nssStore } from "../tools/nss-store.ts";
import { buildApp } from "./built-app.ts";

const folder = mkdtempSync(join(tmpdir(), "plumbshot-https-"));
const outDir = join(import.meta.dirname, "../../.cache/https-test");
const photo = "sample-images/demo-job/photos/bay-01.jpg";
const timeout = 60_000;
let server: Server;
let port: number;

/** A home of its own, with an NSS store that trusts the authority or not. */
function homeOf(name: string, authority: string | null): string {
  const home = join(folder, name);
  nssStore(join(home, ".pki/nssdb"), authority);
  return home;
}

async function browserOf(home: string) {
  return chromium.launch({
    executablePath: ensureChromium(),
    args: [...chromiumFlags, "--host-resolver-rules=MAP bay-one.local 127.0.0.1"],
    env: { ...process.env, HOME: home } as Record<string, string>,
  });
}

let authority: string;

beforeAll(async () => {
  const identity = await serverIdentity(join(folder, "https"), [], "Bay One");
  authority = identity.authority.cert;
  rmSync(outDir, { recursive: true, force: true });
  await buildApp(outDir);
  const { leaf } = identity;
  server = createServer({ key: leaf.private, cert: leaf.cert }, staticFiles(outDir));
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  port = (server.address() as AddressInfo).port;
});

afterAll(() => {
  server?.close();
  rmSync(folder, { recursive: true, force: true });
});

test("a browser without the authority refuses the page", async () => {
  const browser = await browserOf(homeOf("stranger", null));
  const page = await browser.newPage();
  await expect(page.goto(`https://bay-one.local:${port}/`)).rejects.toThrow(
    /CERT_AUTHORITY_INVALID/,
  );
  await browser.close();
});

test("one that trusts it registers the service worker, and works with the server gone", async () => {
  const browser = await browserOf(homeOf("trusting", authority));
  const page = await browser.newPage();
  await page.goto(`https://bay-one.local:${port}/`);
  expect(await page.evaluate(() => isSecureContext)).toBe(true);
  expect(await page.evaluate(() => "mediaDevices" in navigator)).toBe(true);
  await page.evaluate(async () => {
    await navigator.serviceWorker.ready;
  });
  await expect
    .poll(() => page.evaluate(() => navigator.serviceWorker.controller !== null), {
      timeout,
    })
    .toBe(true);
  await page.goto(`https://bay-one.local:${port}/#/settings`);
  await page.locator("[data-testid=offline][data-state='all ready']").waitFor({ timeout });
  server.closeAllConnections();
  await new Promise((resolve) => server.close(resolve));
  await page.goto(`https://bay-one.local:${port}/#/`);
  await page.reload();
  await page.getByTestId("new-job").click();
  await page.getByTestId("job-title").waitFor();
  // The vision code is at hand, too: a photo is examined.
  const job = new URL(page.url()).hash.replace("/car", "");
  await page.evaluate((hash) => location.assign(hash), `${job}/photos`);
  await page.getByTestId("add-board-photos").setInputFiles(photo);
  await page.locator("[data-testid=photo][data-state=ok]").waitFor({ timeout });
  await browser.close();
});
