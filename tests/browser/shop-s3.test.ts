/**
 * The Shop screen in Chromium against a real S3 service (OpenStack Swift's) on the loopback: another
 * origin, preflights and signed requests from the page itself.
 */
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { inventedJob } from "../../src/app/fixtures/invented-job.ts";
import { nodeSend } from "../../src/cli/stores/node-send.ts";
import { s3Store } from "../../src/replicate/stores/s3.ts";
import { hasSwift, type StoreServer, startSwift, swiftKeys } from "../tools/replicate/servers.ts";
import { type AppUnderTest, goTo, phone, startApp, storeJob, watchedPage } from "./app-harness.ts";

const patience = 90_000;
const bucket = { bucket: "shop", region: "us-east-1" } as const;

const replicated = (page: Page) =>
  expect
    .poll(() => page.getByTestId("replicated").getAttribute("data-at"), { timeout: patience })
    .not.toBe("");

const suite = hasSwift() ? describe : describe.skip;
suite(hasSwift() ? "S3 from the app" : "S3 from the app (Debian's swift is not installed)", () => {
  let app: AppUnderTest;
  let swift: StoreServer;
  const served = { store: null as string | null, ownStore: null };

  beforeAll(async () => {
    app = await startApp("shop-s3-test", "localhost", served);
    swift = await startSwift(new URL(app.url).origin);
    served.store = new URL(swift.url).origin;
    const address = { kind: "s3", url: swift.url, folder: "", ...bucket, ...swiftKeys } as const;
    // The bucket's own address, with nothing behind it: makes it.
    await s3Store(address, nodeSend, Date.now).replace("", new Uint8Array());
  }, 120_000);
  afterAll(async () => {
    await app?.close();
    await swift?.stop();
  });

  it("a job and a photo go from phone to phone", async () => {
    const preflights: string[] = [];
    const one = await watchedPage(app, phone);
    const job = { ...inventedJob(), id: "s3job", title: "Through S3" };
    await storeJob(one.page, job, null);
    await goTo(one.page, "#/shop");
    await one.page.getByLabel("S3", { exact: true }).check();
    await one.page.getByLabel("Address").fill(swift.url);
    await one.page.getByLabel("Bucket").fill(bucket.bucket);
    await one.page.getByLabel("Region").fill(bucket.region);
    await one.page.getByLabel("Access key").fill(swiftKeys.accessKey);
    await one.page.getByLabel("Secret key").fill(swiftKeys.secretKey);
    await one.page.waitForTimeout(1000);
    one.page.on("request", (request) => preflights.push(request.method()));
    await one.page.getByRole("button", { name: "Connect", exact: true }).click();
    await one.page
      .getByTestId("replication")
      .waitFor({ timeout: patience })
      .catch(async (error: unknown) => {
        const said = await one.page.getByTestId("shop-problem").allTextContents();
        throw new Error(`${said.join(" ")} ${one.errors.slice(0, 6).join("\n")}\n${error}`);
      });
    await replicated(one.page);
    expect(await one.page.getByTestId("ended").allTextContents()).toEqual([]);
    await one.page.getByRole("button", { name: "Share “Through S3”" }).click();
    const code = await one.page.getByTestId("shown-code").inputValue();

    const two = await watchedPage(app, phone);
    await goTo(two.page, "#/shop");
    await two.page.getByTestId("code").fill(code);
    await two.page.getByRole("button", { name: "Join", exact: true }).click();
    await two.page.waitForURL(/#\/job\/s3job/, { timeout: patience });
    expect(preflights.filter((method) => method === "PUT").length).toBeGreaterThan(0);
    const origin = new URL(swift.url).origin;
    expect(two.foreign.length).toBeGreaterThan(0);
    expect(two.foreign.filter((url) => !url.startsWith(origin))).toEqual([]);
    await one.context.close();
    await two.context.close();
  }, 240_000);
});
