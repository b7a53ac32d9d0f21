/**
 * Two phones on one car in Chromium, each with a lens of its own: the second joins by code, its photos
 * and its lens come to the first while the job is open, and both end with one verdict. The photos carry
 * no EXIF, so that only the phone that added them says whose they are.
 */
import { readFileSync } from "node:fs";
import type { Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, it } from "vitest";
import { recordWithJobFile } from "../../src/app/state/job-file.ts";
import { defaultSettings, type JobRecord } from "../../src/app/store/database/schema.ts";
import { newJob } from "../../src/app/store/new-job.ts";
import type { Result } from "../../src/job/result/result.ts";
import { learnCamera } from "../../src/job/run/learn-camera.ts";
import type { CameraProfile } from "../../src/lens/profile.ts";
import { compose, type Mat3, type Pose, type Vec3 } from "../../src/maths/pose.ts";
import { quickPhoto } from "../tools/quick-photo.ts";
import { hasApache, login, type StoreServer, startApache } from "../tools/replicate/servers.ts";
import { sampleTruth, simulateSample } from "../tools/simulated-job.ts";
import {
  type AppUnderTest,
  goTo,
  phone,
  shownChecks,
  startApp,
  storeJob,
  watchedPage,
} from "./app-harness.ts";

const patience = 150_000;
const jobId = "twophones";

interface Phone {
  readonly name: string;
  readonly width: number;
  readonly height: number;
  readonly focalPx: number;
}
const first: Phone = { name: "first", width: 2016, height: 1512, focalPx: 1480 };
const second: Phone = { name: "second", width: 1800, height: 1350, focalPx: 1130 };

/** The lens of a pinhole phone as its camera step would leave it. */
const profileOf = ({ name, width, height, focalPx }: Phone): CameraProfile => {
  const learned = learnCamera(simulateSample().sheet, "2026-01-01");
  if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
  const { remainder: _none, ...profile } = learned.camera.profile;
  const sd = [0.6, 0.6, 0.6, 0.6, 2e-4, 2e-4, 5e-5, 5e-5, 2e-4];
  const [cx, cy] = [(width - 1) / 2, (height - 1) / 2];
  return {
    ...profile,
    identity: { ...profile.identity, make: "Invented", model: name, width, height },
    lens: { fx: focalPx, fy: focalPx, cx, cy, k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 },
    covariance: sd.flatMap((s, i) => sd.map((_, j) => (i === j ? s * s : 0))),
    spread: { ...profile.spread, focalSd: 2e-4, shiftSdPx: 0.2 },
  };
};

interface TruePose {
  readonly rotation: readonly (readonly number[])[];
  readonly translation: readonly number[];
}
const toPose = ({ rotation, translation }: TruePose): Pose => ({
  R: rotation.flat() as unknown as Mat3,
  t: translation as unknown as Vec3,
});
interface TrueBoard {
  readonly id: number;
  readonly cell: number;
  readonly vehicleFromBoard: TruePose;
}

/** One of the sample's photos, as this phone would have taken it from the same place. */
const photoOf = (at: number, { width, height, focalPx }: Phone): Buffer => {
  const cameraFromVehicle = toPose(sampleTruth.photos[at].cameraFromVehicle);
  const boards = (sampleTruth.boards as TrueBoard[]).flatMap(({ id, cell, vehicleFromBoard }) => {
    const { R, t } = compose(cameraFromVehicle, toPose(vehicleFromBoard));
    const facing = -(R[2] * t[0] + R[5] * t[1] + R[8] * t[2]) / Math.hypot(...t);
    const isSeen = t[2] > 300 && facing > 0.35;
    const inCells: Pose = { R, t: [t[0] / cell, t[1] / cell, t[2] / cell] };
    return isSeen ? [{ id, pose: inCells }] : [];
  });
  return quickPhoto({
    width,
    height,
    focalPx,
    boards: boards.sort((a, b) => b.pose.t[2] - a.pose.t[2]),
  });
};

const filesOf = (shots: readonly number[], of: Phone) =>
  shots.map((at) => ({
    name: `${of.name}-${at}.png`,
    mimeType: "image/png",
    buffer: photoOf(at, of),
  }));

const folder = "sample-images/demo-job";
const readJson = (name: string) => JSON.parse(readFileSync(`${folder}/${name}`, "utf8"));
const job = (): JobRecord => ({
  ...recordWithJobFile(newJob(defaultSettings, "2026-11-30T08:00:00Z"), {
    ...readJson("job.json"),
    placement: readJson("placement.json"),
  }),
  id: jobId,
  title: "Two phones",
  camera: { source: "saved profile", profileId: "lens of the first" },
});

/** Keeps a lens on a page's device, as "Keep for later jobs" does. */
const keepLens = (page: Page, id: string, profile: CameraProfile) =>
  page.evaluate(
    async ([key, value]) => {
      const db = await new Promise<IDBDatabase>((resolve) => {
        const request = indexedDB.open("plumbshot");
        request.onsuccess = () => resolve(request.result);
      });
      const transaction = db.transaction("profiles", "readwrite");
      transaction.objectStore("profiles").put(value, key);
      await new Promise((resolve) => {
        transaction.oncomplete = resolve;
      });
      db.close();
    },
    [id, profile] as const,
  );

const resultOf = (page: Page): Promise<Result> =>
  page.evaluate(async (id) => {
    const db = await new Promise<IDBDatabase>((resolve) => {
      const request = indexedDB.open("plumbshot");
      request.onsuccess = () => resolve(request.result);
    });
    const request = db.transaction("results").objectStore("results").get(id);
    await new Promise((resolve) => {
      request.onsuccess = resolve;
    });
    db.close();
    return request.result.result;
  }, jobId);

const suite = hasApache() ? describe : describe.skip;
suite(hasApache() ? "two phones" : "two phones (Debian's apache2 is not installed)", () => {
  let app: AppUnderTest;
  let apache: StoreServer;
  const served = { store: null as string | null, ownStore: null };

  beforeAll(async () => {
    app = await startApp("two-phones-test", "localhost", served);
    apache = await startApache({ origin: new URL(app.url).origin });
    served.store = new URL(apache.url).origin;
  });
  afterAll(async () => {
    await app?.close();
    await apache?.stop();
  });

  it("join, each with its own lens, and come to one verdict", async () => {
    const one = await watchedPage(app, phone);
    await keepLens(one.page, "lens of the first", profileOf(first));
    await storeJob(one.page, job(), null);
    await goTo(one.page, "#/shop");
    await one.page.getByLabel("Address").fill(apache.url);
    await one.page.getByLabel("User name").fill(login.user);
    await one.page.getByLabel("Password").fill(login.password);
    await one.page.waitForTimeout(1000);
    await one.page.getByRole("button", { name: "Connect", exact: true }).click();
    await one.page.getByRole("button", { name: "Share “Two phones”" }).click();
    const code = await one.page.getByTestId("shown-code").inputValue();

    // The second phone may be faster than the first one's upload: then it looks again by itself.
    const two = await watchedPage(app, phone);
    await keepLens(two.page, "lens of the second", profileOf(second));
    await goTo(two.page, "#/shop");
    await two.page.getByTestId("code").fill(code);
    await two.page.getByRole("button", { name: "Join", exact: true }).click();
    await two.page.waitForURL(/#\/job\/twophones/, { timeout: patience });

    const shots = [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11];
    const half = [shots.filter((n) => n % 2 === 0), shots.filter((n) => n % 2 === 1)];
    for (const [page, files] of [
      [one.page, filesOf(half[0], first)],
      [two.page, filesOf(half[1], second)],
    ] as const) {
      await goTo(page, `#/job/${jobId}/photos`);
      await page.getByTestId("add-board-photos").setInputFiles(files);
    }

    // Both jobs stay open: photos and lenses arrive by themselves.
    for (const { page } of [one, two]) {
      await expect
        .poll(() => page.getByTestId("photo").count(), { timeout: patience })
        .toBe(shots.length);
      await expect
        .poll(() => page.getByTestId("photo-phone").allTextContents(), { timeout: patience })
        .toEqual(expect.arrayContaining(["by this phone", "by another phone"]));
    }
    if (process.env.SHOTS) {
      await one.page.screenshot({
        path: `${process.env.SHOTS}/two-phones-photos.png`,
        fullPage: true,
      });
      await goTo(one.page, `#/job/${jobId}/camera`);
      await one.page.getByTestId("other-lens").waitFor();
      await one.page.screenshot({
        path: `${process.env.SHOTS}/two-phones-camera.png`,
        fullPage: true,
      });
    }
    for (const { page } of [one, two]) {
      await expect
        .poll(
          () =>
            resultOf(page).then(
              (r) => r?.otherCameras?.[0].bayPhotos,
              () => 0,
            ),
          {
            timeout: patience,
          },
        )
        .toBe(shots.length / 2);
    }
    const results = [await resultOf(one.page), await resultOf(two.page)];
    for (const { photos, camera } of results) {
      expect(photos.filter(({ used }) => !used)).toEqual([]);
      expect(camera.bayPhotos).toBe(shots.length / 2);
    }
    expect(results.map(({ camera }) => camera.model)).toEqual(["first", "second"]);
    expect(results[0].outcome).toBe(results[1].outcome);
    for (const { page } of [one, two]) {
      await goTo(page, `#/job/${jobId}/placement`);
      await page.getByTestId("outcome").first().waitFor({ timeout: patience });
    }
    const [a, b] = [await shownChecks(one.page), await shownChecks(two.page)];
    expect(a.map(({ id, verdict }) => [id, verdict])).toEqual(
      b.map(({ id, verdict }) => [id, verdict]),
    );
    for (const [i, check] of a.entries()) {
      expect(Math.abs(check.measured - b[i].measured), check.id).toBeLessThan(
        0.01 * check.expandedUncertainty,
      );
    }
    await one.context.close();
    await two.context.close();
  }, 300_000);
});
