/** The app by https with this machine's own authority, in a Firefox profile that trusts it. */
import { mkdtempSync, rmSync } from "node:fs";
import { createServer, type Server } from "node:https";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { serverIdentity } from "../../src/cli/server/authority.ts";
import { staticFiles } from "../../src/cli/server/static-files.ts";
import { buildApp } from "../browser/built-app.ts";
import { startFirefox } from "../tools/firefox-driver.ts";

const patience = 60_000;
const place = mkdtempSync(join(tmpdir(), "plumbshot-firefox-https-"));
const photo = resolve("sample-images/demo-job/photos/bay-01.jpg");
/** Every name is this machine, as bay-one.local would be in a shop's network. */
const settings = { "network.dns.forceResolve": "127.0.0.1" };
let server: Server;
let authority: string;
let origin: string;

beforeAll(async () => {
  const identity = await serverIdentity(join(place, "https"), [], "Bay One");
  authority = identity.authority.cert;
  const built = join(place, "app");
  await buildApp(built);
  const { leaf } = identity;
  server = createServer({ key: leaf.private, cert: leaf.cert }, staticFiles(built));
  await new Promise<void>((listening) => server.listen(0, "127.0.0.1", listening));
  origin = `https://bay-one.local:${(server.address() as AddressInfo).port}`;
});

afterAll(() => {
  server?.closeAllConnections();
  server?.close();
  rmSync(place, { recursive: true, force: true });
});

test("without the authority Firefox refuses the page", async () => {
  const { page } = await startFirefox(settings);
  try {
    await expect(page.go(`${origin}/`)).rejects.toThrow();
    expect(await page.run("return document.querySelector('#root')")).toBeNull();
  } finally {
    await page.close();
  }
});

test("with it the service worker registers, and the app works with the server gone", async () => {
  const { page, errors } = await startFirefox(settings, authority);
  try {
    await page.go(`${origin}/`);
    expect(await page.run("return [isSecureContext, 'mediaDevices' in navigator]")).toEqual([
      true,
      true,
    ]);
    await page.go(`${origin}/#/settings`);
    await page.until(
      "document.querySelector('[data-testid=offline][data-state=\"all ready\"]')",
      patience,
    );
    server.closeAllConnections();
    await new Promise((closed) => server.close(closed));
    await page.go("about:blank");
    await page.go(`${origin}/`);
    await page.click("[data-testid=new-job]", patience);
    await page.until("document.querySelector('[data-testid=job-title]')", patience);
    // The vision code is at hand, too: a photo is examined.
    await page.run("location.hash = location.hash.replace('/car', '/photos')");
    await page.until("document.querySelector('[data-testid=add-board-photos]')", patience);
    await page.setFiles("[data-testid=add-board-photos]", [photo]);
    await page.until("document.querySelector('[data-testid=photo][data-state=ok]')", patience);
    expect(await errors(origin)).toEqual([]);
  } finally {
    await page.close();
  }
});
