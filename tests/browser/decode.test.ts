/**
 * Photo decoding in a worker of a real Chromium: the same grey values as in Node, and as the
 * browser's own decoder hands over.
 */
import { createHash } from "node:crypto";
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { type Browser, chromium, type Page } from "playwright-core";
import { createServer, type ViteDevServer } from "vite";
import { afterAll, beforeAll, expect, test } from "vitest";
import { decodePhoto } from "../../src/photo/decode.ts";
import { nodeDecoder } from "../../workers/node/decode-node.ts";
import { chromiumFlags, ensureChromium } from "../tools/debian.ts";
import { webpWithExif, withExif, writeTiff } from "../tools/exif-writer.ts";
import { encodeHeic, ensureHeifTools } from "../tools/heif-tools.ts";
import { writeFlatJpeg } from "../tools/tiny-jpeg.ts";
import type { ProbeAnswer, ProbeTask } from "./decode-probe.ts";

const root = join(import.meta.dirname, "../..");
const fixtures = join(root, "tests/unit/photo/fixtures");
const demo = join(root, "sample-images/demo-job/photos");
const photos = new Map<string, Uint8Array>();
let server: ViteDevServer;
let browser: Browser;
let page: Page;
const errors: string[] = [];

beforeAll(async () => {
  server = await createServer({
    root,
    configFile: false,
    logLevel: "error",
    appType: "custom",
    cacheDir: join(root, "node_modules/.vite-decode-test"),
    server: { host: "127.0.0.1", port: 0, hmr: false, ws: false, watch: null },
    plugins: [{ name: "photos", configureServer: servePhotos }],
  });
  await server.listen();
  browser = await chromium.launch({ executablePath: ensureChromium(), args: chromiumFlags });
  page = await browser.newPage();
  page.on("pageerror", (error) => errors.push(error.message));
  await page.goto(`${address()}/blank`);
});

afterAll(async () => {
  await browser?.close();
  await server?.close();
});

/** A blank page and the test's photos, each under its name. */
function servePhotos(vite: ViteDevServer): void {
  vite.middlewares.use((request, response, next) => {
    const path = request.url ?? "";
    const photo = photos.get(path.replace("/photo/", ""));
    if (path === "/blank") {
      response.setHeader("content-type", "text/html");
      response.end("<!doctype html><link rel=icon href=data:,><title>Decoder test</title>");
    } else if (photo) {
      response.end(Buffer.from(photo));
    } else {
      next();
    }
  });
}

function address(): string {
  const bound = server.httpServer?.address();
  if (!bound || typeof bound === "string") throw new Error("the server has no address");
  return `http://127.0.0.1:${bound.port}`;
}

async function probe(name: string, bytes: Uint8Array, rounds = 0): Promise<ProbeAnswer> {
  photos.set(name, bytes);
  const task: ProbeTask = { url: `/photo/${name}`, rounds };
  return page.evaluate(
    (given) =>
      new Promise<ProbeAnswer>((resolve, reject) => {
        const worker = new Worker("/tests/browser/decode-probe.ts", { type: "module" });
        worker.onerror = (event) => reject(new Error(`worker: ${event.message}`));
        worker.onmessage = (event) => {
          worker.terminate();
          resolve(event.data);
        };
        worker.postMessage(given);
      }),
    task,
  );
}

const fixture = (name: string): Uint8Array => new Uint8Array(readFileSync(join(fixtures, name)));

function nodeHash(bytes: Uint8Array): string {
  const photo = decodePhoto(bytes, "x");
  if (!photo.ok) throw new Error(photo.remark.message);
  return hashOf(photo.luma.data);
}

const hashOf = (data: Uint8Array): string => createHash("sha256").update(data).digest("hex");

/** A photo of 12 megapixels: one of the demo job's, or flat blocks where there is none. */
function wholePhoto(): Uint8Array {
  const names = existsSync(demo) ? readdirSync(demo).filter((name) => name.endsWith(".jpg")) : [];
  if (names.length > 0) return new Uint8Array(readFileSync(join(demo, names.sort()[0])));
  return writeFlatJpeg(4032, 3024, (column, row) => (column * 7 + row * 13) & 255);
}

test("a 12-megapixel photo: same grey values as Node and as the browser's decoder", async () => {
  const bytes = wholePhoto();
  const answer = await probe("whole", bytes, 6);
  expect(answer.ok).toBe(true);
  expect([answer.width, answer.height]).toEqual([4032, 3024]);
  expect(answer.sha256).toBe(nodeHash(bytes));
  if (answer.equalShare !== null) expect(answer.worst).toBeLessThanOrEqual(1);
  const { ours, plain, webCodecs } = answer.ms;
  console.log(
    `decode in Chromium: own ${ours} ms, without WebAssembly ${plain} ms, ImageDecoder ` +
      `${webCodecs} ms; ${((answer.equalShare ?? Number.NaN) * 100).toFixed(4)} % of grey values equal`,
  );
});

test.each(["base420.jpg", "base422.jpg", "base444.jpg", "progressive420.jpg", "restart.jpg"])(
  "%s",
  async (name) => {
    const answer = await probe(name, fixture(name));
    expect(answer.sha256).toBe(nodeHash(fixture(name)));
    expect(answer.equalShare).not.toBeNull();
    expect(answer.worst).toBeLessThanOrEqual(1);
  },
);

test.each([1, 2, 3, 4, 5, 6, 7, 8])("EXIF orientation %i changes nothing", async (orientation) => {
  const bytes = withExif(fixture("base420.jpg"), writeTiff({ 274: orientation }, {}, true));
  const answer = await probe(`turned-${orientation}`, bytes);
  expect(answer.orientation).toBe(orientation);
  expect([answer.width, answer.height]).toEqual([157, 93]);
  expect(answer.sha256).toBe(nodeHash(fixture("base420.jpg")));
});

test("48 megapixels, more than some canvases hold", async () => {
  const bytes = writeFlatJpeg(8064, 6048, (column, row) => (column * 3 + row) & 255);
  const answer = await probe("large", bytes);
  expect([answer.width, answer.height]).toEqual([8064, 6048]);
  expect(answer.sha256).toBe(nodeHash(bytes));
});

test("WebP comes through the browser's bitmap", async () => {
  const webp = await probe("photo.webp", fixture("photo.webp"));
  expect([webp.ok, webp.width, webp.height]).toEqual([true, 157, 93]);
  expect(webp.remarks).toContain("photo-through-browser");
});

test("HEIC: same grey values as Node", async () => {
  ensureHeifTools();
  const heic = encodeHeic([fixture("base420.jpg")], ["-q", "90"]);
  const photo = await nodeDecoder()(heic, "photo.heic");
  const answer = await probe("photo.heic", heic);
  expect([answer.ok, answer.width, answer.height]).toEqual([true, 157, 93]);
  expect(answer.sha256).toBe(photo.ok ? hashOf(photo.luma.data) : "not read in Node");
});

test("HEIC that is only its head is damaged", async () => {
  const heic = new Uint8Array(Buffer.from("\0\0\0\x18ftypheic\0\0\0\0mif1heic", "latin1"));
  expect((await probe("head.heic", heic)).code).toBe("heic-damaged");
});

test("EXIF in a WebP turns nothing either", async () => {
  const plain = await probe("plain.webp", fixture("photo.webp"));
  const tiff = writeTiff({ 274: 6 }, {}, true);
  const turned = await probe("6.webp", webpWithExif(fixture("photo.webp"), 157, 93, tiff));
  expect(turned.orientation).toBe(6);
  expect([turned.width, turned.height]).toEqual([157, 93]);
  expect(turned.sha256).toBe(plain.sha256);
});

test("a file that ends early is refused", async () => {
  const bytes = fixture("base420.jpg");
  expect((await probe("short", bytes.subarray(0, 4000))).code).toBe("jpeg-ends-early");
});

test("no uncaught errors", () => expect(errors).toEqual([]));
