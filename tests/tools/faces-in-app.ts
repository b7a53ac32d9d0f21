/**
 * The app's own face worker, asked in Chromium about photos that Debian's opencv-doc carries, and
 * about photos of boards without any face.
 */
import { existsSync, readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import type { Page } from "playwright-core";

const documents = "/usr/share/doc/opencv-doc";
const data = `${documents}/examples/data`;
const pages = `${documents}/opencv4/html`;

/**
 * Clear faces: seen from the front or up to about three quarters, eyes and mouth visible, at least 20
 * px high. Places by eye, shares of width and height. Left out: the player seen from behind his ear in
 * basketball1 and 2, blurred spectators in messi5, the 40 x 52 px cut-out messi_face.
 */
const clearFaces: Readonly<Record<string, readonly (readonly [x: number, y: number])[]>> = {
  [`${data}/messi5.jpg`]: [[0.445, 0.33]],
  [`${data}/basketball1.png`]: [[0.125, 0.23]],
  [`${data}/basketball2.png`]: [[0.125, 0.23]],
  [`${pages}/face_swapped.jpg`]: [[0.52, 0.42]],
  [`${pages}/julia_facedetect_sample.jpg`]: [[0.48, 0.3]],
  [`${pages}/facereg.jpg`]: [
    [0.25, 0.25],
    [0.75, 0.25],
    [0.25, 0.75],
    [0.75, 0.72],
  ],
};

interface Box {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly score: number;
}

export interface FaceCount {
  readonly found: number;
  readonly total: number;
  /** Faces "found" in photos of boards, where there are none. */
  readonly onBoards: number;
  readonly lines: readonly string[];
}

/** Photos of boards with no face in them: the demo's, and OpenCV's chessboards held before a face. */
const boardPhotos = (): string[] => {
  const demo = ["camera", "photos"].map((part) => `sample-images/demo-job/${part}`);
  const inDemo = demo.flatMap((folder) =>
    readdirSync(folder)
      .filter((name) => name.endsWith(".jpg"))
      .map((name) => `${folder}/${name}`),
  );
  const chessboards = readdirSync(data)
    .filter((name) => /^(left|right)\d\d\.jpg$/.test(name))
    .map((name) => `${data}/${name}`);
  return [...inDemo, ...chessboards];
};

/** `folder`: the built app that the page shows. */
export async function countFaces(page: Page, folder: string): Promise<FaceCount> {
  if (!existsSync(`${data}/messi5.jpg`) || !existsSync(`${pages}/facereg.jpg`)) {
    throw new Error("The photos of Debian's opencv-doc are missing: apt-get install opencv-doc");
  }
  const worker = readdirSync(join(folder, "assets")).find((name) =>
    /^face-worker-.*\.js$/.test(name),
  );
  const faces = readdirSync(join(folder, "faces"))[0];
  // tsx names functions by a helper of its own, which the page does not have.
  await page.evaluate("globalThis.__name = (named) => named");
  await page.evaluate(
    ([script, files]) => {
      const started = new Worker(script, { type: "module" });
      let next = 0;
      // Comlink's own messages: what the app's `findFaces` sends.
      Object.assign(globalThis, {
        findFaces: (picture: Blob) =>
          new Promise((resolve, reject) => {
            const id = `bench ${next++}`;
            const listen = ({ data: answer }: MessageEvent) => {
              if (answer.id === id) {
                started.removeEventListener("message", listen);
                if (answer.type === "HANDLER") reject(new Error(JSON.stringify(answer.value)));
                else resolve(answer.value);
              }
            };
            started.addEventListener("message", listen);
            const raw = (value: unknown) => ({ type: "RAW", value });
            const folderUrl = new URL(files, document.baseURI).href;
            started.postMessage({
              id,
              type: "APPLY",
              path: ["find"],
              argumentList: [raw(picture), raw(folderUrl)],
            });
          }),
      });
    },
    [`assets/${worker}`, `faces/${faces}`] as const,
  );
  const find = (file: string): Promise<Box[]> =>
    page.evaluate(async (base64) => {
      const bytes = Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));
      return (globalThis as unknown as { findFaces(b: Blob): Promise<Box[]> }).findFaces(
        new Blob([bytes]),
      );
    }, readFileSync(file).toString("base64"));

  const lines: string[] = [];
  let found = 0;
  let total = 0;
  let extra = 0;
  for (const [file, places] of Object.entries(clearFaces)) {
    const boxes = await find(file);
    const hit = ([x, y]: readonly [number, number]) =>
      boxes.some(({ left, top, right, bottom }) => x > left && x < right && y > top && y < bottom);
    const hits = places.filter(hit).length;
    found += hits;
    total += places.length;
    extra += Math.max(0, boxes.length - hits);
    const scores = boxes.map(({ score }) => score.toFixed(2)).join(" ");
    lines.push(`${file.split("/").at(-1)}: ${hits} of ${places.length} faces (scores ${scores})`);
  }
  let onBoards = 0;
  const boards = boardPhotos();
  for (const file of boards) {
    const boxes = await find(file);
    onBoards += boxes.length;
    const scores = boxes.map(({ score }) => score.toFixed(2)).join(" ");
    if (boxes.length > 0) lines.push(`${file}: ${boxes.length} taken for faces (scores ${scores})`);
  }
  lines.push(
    `${found} of ${total} clear faces, ${extra} further finds in those photos, ` +
      `${onBoards} finds in ${boards.length} photos of boards`,
  );
  return { found, total, onBoards, lines };
}
