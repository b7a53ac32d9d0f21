/** Simulated photos in grey pixels, examined by the product; pictures and findings are kept in .cache. */
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { gunzipSync, gzipSync } from "node:zlib";
import { loadOpenCV } from "@opencvjs/web";
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { boardTagFinder, sheetTagFinder } from "../../../src/detect/tags/opencv-tag-finder.ts";
import type { TagFinder } from "../../../src/detect/tags/tag-finder.ts";
import { examinePhoto } from "../../../src/job/run/examine.ts";
import type { Lens } from "../../../src/lens/lens.ts";
import { Chance, type Rigid } from "../../tools/phone/maths.ts";
import { type GreyPhoto, type Placed, takePhoto } from "../../tools/phone/photo.ts";
import type { Session } from "../../tools/phone/session.ts";
import { type Shot, visibleBoards } from "../../tools/phone/shots.ts";
import { exifOf } from "./exif.ts";
import { digestOfSources, keptFindings } from "./kept-findings.ts";
import type { Views } from "./views.ts";

export interface Finders {
  readonly boards: TagFinder;
  readonly sheet: TagFinder;
}

export const loadFinders = async (): Promise<Finders> => {
  const cv = await loadOpenCV();
  return { boards: boardTagFinder(cv), sheet: sheetTagFinder(cv) };
};

const root = fileURLToPath(new URL("../../..", import.meta.url));
const simulator = join(root, "tests/tools/phone");

/** Pictures of another simulator are other pictures. */
const digest = createHash("sha256")
  .update(
    readdirSync(simulator)
      .filter((name) => name.endsWith(".ts"))
      .sort()
      .map((name) => readFileSync(join(simulator, name), "utf8"))
      .join(""),
  )
  .digest("hex")
  .slice(0, 12);
const cache = join(root, ".cache/bench-phone", digest);
const finderSources = digestOfSources(root, [
  "src/job/run/examine.ts",
  "src/detect/tags/opencv-tag-finder.ts",
  "tests/bench/phone/pictures.ts",
]);

const one: Rigid = { q: [1, 0, 0, 0], p: [0, 0, 0] };

/** `label` tells sessions of one seed but other options apart. */
export const pictureViews = (session: Session, label: string, finders: Finders): Views => {
  const folder = join(cache, `${session.seed}${label}`);
  mkdirSync(folder, { recursive: true });
  const picture = (shot: Shot, prints: () => readonly Placed[], stream: number): GreyPhoto => {
    const { width, height } = shot.phone.lens;
    const file = join(folder, `${shot.name}.gz`);
    if (existsSync(file)) return { width, height, data: gunzipSync(readFileSync(file)) };
    const photo = takePhoto(shot, prints(), new Chance(session.seed, stream));
    writeFileSync(file, gzipSync(photo.data, { level: 1 }));
    return photo;
  };
  const examined = (
    shot: Shot,
    luma: () => GreyPhoto,
    what: keyof Finders,
    lens: Lens | null,
  ): PhotoOutcome =>
    keptFindings(folder, shot.name, [finderSources, what, lens], () =>
      examinePhoto(
        { ok: true, luma: luma(), exif: exifOf(shot), remarks: [], format: "jpeg" },
        finders[what],
        { name: shot.name, what, lens },
        0,
        () => 0,
      ),
    );
  const ofBay = (shots: readonly Shot[], bay: Session["bay"], first: number, lens: Lens) =>
    shots.map((shot, i): PhotoOutcome => {
      const prints = () =>
        visibleBoards(bay, shot).map((board) => ({
          print: board,
          worldFromBoard: board.worldFromBoard,
        }));
      return examined(shot, () => picture(shot, prints, first + i), "boards", lens);
    });
  return {
    sheet: () =>
      session.sheet.map((shot, i) => {
        const prints = () => [{ print: session.bay.sheet, worldFromBoard: one }];
        return examined(shot, () => picture(shot, prints, 100 + i), "sheet", null);
      }),
    photos: (lens) => [
      ...ofBay(session.photos, session.bay, 200, lens),
      ...ofBay(session.after, session.bayAfter, 300, lens),
    ],
  };
};
