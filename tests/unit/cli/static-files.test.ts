import { mkdirSync, mkdtempSync, readdirSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { createServer, get, type IncomingMessage, type Server } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { staticFiles } from "../../../src/cli/server/static-files.ts";

const outside = mkdtempSync(join(tmpdir(), "plumbshot-serve-"));
const folder = join(outside, "dist");
let server: Server;
let port: number;

beforeAll(async () => {
  mkdirSync(join(folder, "assets"), { recursive: true });
  writeFileSync(join(folder, "index.html"), "<p>app</p>");
  writeFileSync(join(folder, "assets", "vision-worker-1.js"), "1");
  writeFileSync(join(folder, "large.bin"), new Uint8Array(30_000_000));
  writeFileSync(join(outside, "secret.txt"), "secret");
  // A file that can be found but not read: what a rebuild during a download looks like.
  symlinkSync("/proc/self/mem", join(folder, "broken.bin"));
  server = createServer(staticFiles(folder));
  await new Promise<void>((resolve) => server.listen(0, "127.0.0.1", resolve));
  port = (server.address() as AddressInfo).port;
});

afterAll(() => {
  server.close();
  rmSync(outside, { recursive: true });
});

const ask = (path: string, method = "GET"): Promise<IncomingMessage> =>
  new Promise((resolve, reject) => {
    get({ port, path, method, agent: false }, resolve).on("error", reject);
  });

const openFiles = (): number => readdirSync("/proc/self/fd").length;
const pause = (ms: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, ms));

describe("serving the built app", () => {
  test("files with their kind, policy and caching", async () => {
    const page = await ask("/");
    expect([page.statusCode, page.headers["content-type"]]).toEqual([
      200,
      "text/html; charset=utf-8",
    ]);
    expect(page.headers["cache-control"]).toBe("no-cache");
    expect(page.headers["content-security-policy"]).not.toContain("unsafe-eval");
    page.resume();
    const worker = await ask("/assets/vision-worker-1.js");
    expect(worker.headers["content-security-policy"]).toContain("wasm-unsafe-eval");
    expect(worker.headers["cache-control"]).toContain("immutable");
    worker.resume();
  });

  test("nothing outside the folder, nothing that is not there, nothing but reading", async () => {
    for (const path of ["/../secret.txt", "/%2e%2e/secret.txt", "/..%2fsecret.txt", "/%00", "/no"])
      expect((await ask(path)).resume().statusCode, path).toBe(404);
    const post = (await ask("/", "POST")).resume();
    // RFC 9110, 15.5.6: a 405 answer says what is allowed.
    expect([post.statusCode, post.headers.allow]).toEqual([405, "GET, HEAD"]);
    const head = await ask("/", "HEAD");
    expect([head.statusCode, head.headers["content-length"]]).toEqual([200, "10"]);
  });

  test("a file that cannot be read ends that answer, not the server", async () => {
    const ended = ask("/broken.bin").then(
      (answer) =>
        new Promise((resolve) => {
          answer.on("error", () => resolve("broken off")).on("end", () => resolve("ended"));
          answer.resume();
        }),
      () => "broken off",
    );
    expect(await ended).toBeDefined();
    expect((await ask("/")).resume().statusCode).toBe(200);
  });

  test("a download that is broken off leaves no file open", async () => {
    const before = openFiles();
    for (let i = 0; i < 5; i++) {
      const answer = await ask("/large.bin");
      answer.destroy();
    }
    await pause(200);
    expect(openFiles()).toBeLessThan(before + 3);
  });
});
