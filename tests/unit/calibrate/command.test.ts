/** `npm run camera` on folders that cannot be used: status 2 and a sentence on standard error. */
import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, beforeAll, describe, expect, it } from "vitest";

const root = fileURLToPath(new URL("../../../", import.meta.url));
let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "camera-command-"));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const camera = (...args: string[]) =>
  spawnSync(process.execPath, ["--import", "tsx", "src/cli/camera.ts", ...args], {
    cwd: root,
    encoding: "utf8",
  });

describe("the camera command", () => {
  it("asks for a folder", () => {
    const { status, stderr, stdout } = camera();
    expect([status, stdout]).toEqual([2, ""]);
    expect(stderr).toContain("Usage:");
  });

  it("names a folder that is not there, and an empty one", () => {
    const missing = camera(join(folder, "nowhere"));
    expect(missing.status).toBe(2);
    expect(missing.stderr).toContain("nowhere");
    const empty = camera(folder);
    expect(empty.status).toBe(2);
    expect(empty.stderr).toContain("holds no photo");
  });

  it("says which file is no photo, and writes no profile", () => {
    writeFileSync(join(folder, "shopping-list.jpg"), "milk, bread");
    const { status, stderr } = camera(folder, "--json");
    expect(status).toBe(2);
    expect(stderr).toContain("shopping-list.jpg");
    expect(stderr).toContain("at least 4");
  });
});
