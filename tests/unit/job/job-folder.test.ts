/** The camera folder of a job: one phone, or several with a name each. */
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { readJobFolder, UnusableInput } from "../../../src/cli/job-folder.ts";
import { learnCamera } from "../../../src/job/run/learn-camera.ts";
import { sampleFolder, simulateSample } from "../../tools/simulated-job.ts";

const learned = learnCamera(simulateSample().sheet, "2026-01-01");
if (!learned.ok) throw new Error("the sample's sheet photos must give a lens");
const profile = JSON.stringify(learned.camera.profile);
const job = {
  format: "plumbshot-job",
  version: 1,
  title: "Invented",
  invented: true,
  placement: JSON.parse(readFileSync(`${sampleFolder}/placement.json`, "utf8")),
};

let folder: string;
const put = (name: string, text: string): void => {
  mkdirSync(dirname(join(folder, name)), { recursive: true });
  writeFileSync(join(folder, name), text);
};
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "plumbshot-folder-"));
  put("job.json", JSON.stringify(job));
  put("photos/a.jpg", "a");
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const phonesOf = async (): Promise<(string | undefined)[]> => {
  const { camera, otherCameras = [] } = await readJobFolder(folder);
  return [camera, ...otherCameras].map(({ kind, phone }) => `${kind} ${phone ?? "-"}`);
};

describe("the camera folder", () => {
  test("one profile is of all photos", async () => {
    put("camera/profile.json", profile);
    expect(await phonesOf()).toEqual(["profile -"]);
  });

  test("two profiles are two phones, by the files' names", async () => {
    put("camera/van.json", profile);
    put("camera/shop.json", profile);
    expect(await phonesOf()).toEqual(["profile shop", "profile van"]);
  });

  test("a folder for each phone, with sheet photos or a profile", async () => {
    put("camera/shop/sheet-1.jpg", "sheet");
    put("camera/van/profile.json", profile);
    expect(await phonesOf()).toEqual(["sheet shop", "profile van"]);
  });

  test("sheet photos beside another phone's folder are those of all other photos", async () => {
    put("camera/sheet-1.jpg", "sheet");
    put("camera/van/profile.json", profile);
    expect(await phonesOf()).toEqual(["sheet -", "profile van"]);
  });

  test("a profile beside another phone's folder is that of all other photos", async () => {
    put("camera/profile.json", profile);
    put("camera/van/profile.json", profile);
    expect(await phonesOf()).toEqual(["profile -", "profile van"]);
  });

  test("keeps its name where the job uses it", async () => {
    put("camera/van.json", profile);
    const phones = [{ name: "van", photos: ["a.jpg"] }];
    put("job.json", JSON.stringify({ ...job, phones }));
    expect(await phonesOf()).toEqual(["profile van"]);
  });

  test("a photo that two phones claim is refused by name", async () => {
    const phones = ["van", "shop"].map((name) => ({ name, photos: ["a.jpg"] }));
    put("job.json", JSON.stringify({ ...job, phones }));
    await expect(readJobFolder(folder)).rejects.toThrow(UnusableInput);
    await expect(readJobFolder(folder)).rejects.toThrow(/phones\[1\].photos.*a\.jpg/s);
  });
});
