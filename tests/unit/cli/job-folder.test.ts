/** Job folders whose photos are links, and names that try to be more than names. */
import { copyFileSync, mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { photosIn, readJson } from "../../../src/cli/job-folder.ts";

const folder = mkdtempSync(join(tmpdir(), "job-folder-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test("photos behind symbolic links count; a link that leads nowhere fails by its name", async () => {
  const photos = join(folder, "photos");
  const elsewhere = join(folder, "elsewhere");
  for (const made of [photos, elsewhere]) mkdirSync(made);
  writeFileSync(join(elsewhere, "a.jpg"), "picture");
  copyFileSync(join(elsewhere, "a.jpg"), join(photos, "b.jpg"));
  symlinkSync(join(elsewhere, "a.jpg"), join(photos, "a.jpg"));
  symlinkSync(elsewhere, join(photos, "folder"));
  symlinkSync(join(elsewhere, "gone.jpg"), join(photos, "gone.jpg"));
  const found = (await photosIn(photos)) ?? [];
  expect(found.map(({ name }) => name)).toEqual(["a.jpg", "b.jpg", "gone.jpg"]);
  expect(new TextDecoder().decode(await found[0].read())).toBe("picture");
  await expect(found[2].read()).rejects.toThrow("ENOENT");
});

test("a name that moves the cursor or turns the text is shown as it is", async () => {
  const photos = join(folder, "odd");
  mkdirSync(photos);
  writeFileSync(join(photos, "a\n\u202Egpj.jpg"), "picture");
  const [photo] = (await photosIn(photos)) ?? [];
  expect(photo.name).toBe("a<U+000A><U+202E>gpj.jpg");
  expect(await photo.read()).toHaveLength(7);
});

test.each([
  ["{", /is not valid JSON: /],
  ["[".repeat(100) + "]".repeat(100), /lists within lists/],
  ['{"a":{"__proto__":{"polluted":true}}}', /__proto__/],
])("a JSON file like %s is refused with its reason", async (text, reason) => {
  const file = join(folder, "job.json");
  writeFileSync(file, text);
  await expect(readJson(file)).rejects.toThrow(reason);
});
