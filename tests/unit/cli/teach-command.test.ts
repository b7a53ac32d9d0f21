/** `npm run teach` on folders that cannot be used: status 2 and a sentence on standard error. */
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { afterAll, expect, test } from "vitest";

const root = fileURLToPath(new URL("../../../", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "teach-command-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const teach = (...args: string[]) => {
  const run = spawnSync(process.execPath, ["--import", "tsx", "src/cli/teach.ts", ...args], {
    cwd: root,
    encoding: "utf8",
  });
  expect([run.status, run.stdout]).toEqual([2, ""]);
  return run.stderr;
};

test("an unknown option and a missing folder get a sentence, not the system's words", () => {
  expect(teach("--hlp")).toMatch(/^Unknown option '--hlp'\.\nUsage:/);
  expect(teach()).toContain("Usage:");
  expect(teach(join(folder, "nowhere"))).toMatch(/nowhere is not a folder\. Name the folder/);
  expect(teach(folder)).toMatch(
    /teach\.json is missing\. Its form: src\/job\/schemas\/.*json\.\n$/,
  );
});

test("what is wrong with teach.json, and that photos are missing", () => {
  const write = (text: string) => writeFileSync(join(folder, "teach.json"), text);
  write("{");
  expect(teach(folder)).toContain("teach.json is not valid JSON");
  const file = {
    format: "plumbshot-teach",
    version: 1,
    name: "board",
    standBoards: [31],
    pointers: { reference: 41, right: 42, above: 43 },
  };
  write(JSON.stringify({ ...file, standBoards: [] }));
  expect(teach(folder)).toContain("standBoards");
  write(JSON.stringify(file));
  expect(teach(folder)).toContain("has no folder photos/");
  mkdirSync(join(folder, "photos"));
  expect(teach(folder)).toContain("photos holds no photo. Put the photos of the target there.");
});
