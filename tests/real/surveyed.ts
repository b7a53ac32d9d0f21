/**
 * Six surveyed ArUco markers in two photos of 24 megapixels (github zsiki/Find-GCP at e05562a, folder
 * samples; read from the folder, not copied): what is known, and where the markers are seen. What five
 * of them and the photos say of the sixth is in leave-out.ts.
 */
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";
import { loadOpenCV } from "@opencvjs/web";
import { refineTagEdges } from "../../src/detect/ring/tag-edges.ts";
import { openCvTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import type { Lens } from "../../src/lens/lens.ts";
import { fitHomography } from "../../src/maths/homography.ts";
import type { Vec3 } from "../../src/maths/pose.ts";
import { decodePhoto } from "../../src/photo/decode.ts";
import type { SeenPoint } from "./points.ts";

/** Of a marker's centre from its four fitted sides, px. Our assumption, as no truth is known. */
const centreSdPx = 0.3;

/** Where the sides could not be fitted (a marker seen nearly edge on): the finder's whole pixels. */
const coarseSdPx = 1;

export interface Survey {
  readonly points: ReadonlyMap<string, Vec3>;
  readonly seen: readonly SeenPoint[];
  readonly lens: Lens;
  /** Rows of each photo. */
  readonly rows: number;
}

export async function readSurvey(folder: string): Promise<Survey> {
  const points = new Map(
    readFileSync(join(folder, "aruco.txt"), "utf8")
      .trim()
      .split("\n")
      .map((line) => line.trim().split(/\s+/))
      .map(([id, ...xyz]) => [id, xyz.map((v) => 1000 * Number(v)) as unknown as Vec3]),
  );
  const cv = await loadOpenCV();
  // The markers are of another dictionary of the library: 4 x 4 cells, found by trying.
  const other = Object.create(cv, {
    DICT_APRILTAG_36h11: { value: (cv as unknown as Record<string, unknown>).DICT_4X4_50 },
  });
  const finder = openCvTagFinder(other);
  const seen: SeenPoint[] = [];
  let lens: Lens | null = null;
  for (const name of readdirSync(folder).filter((file) => file.endsWith(".jpg"))) {
    const decoded = decodePhoto(readFileSync(join(folder, name)), name);
    if (!decoded.ok) throw new Error(`${name}: ${decoded.remark.message}`);
    const { luma } = decoded;
    lens ??= startLens(luma.width, luma.height);
    const { tags } = finder.find(luma, {
      windows: [13, 23, 33, 43, 53, 63],
      minPerimeterPx: 120,
      darkerBy: 7,
    });
    for (const { id, corners } of tags) {
      const edges = refineTagEdges(
        luma,
        corners,
        Math.hypot(corners[2] - corners[0], corners[3] - corners[1]) / 6,
      );
      if (!points.has(String(id))) continue;
      const map = fitHomography([-1, 1, 1, 1, 1, -1, -1, -1], edges?.corners ?? corners);
      if (!map) continue;
      const at = [map[2] / map[8], map[5] / map[8]] as const;
      seen.push({
        photo: name,
        point: String(id),
        at,
        sd: edges ? [centreSdPx, centreSdPx] : [coarseSdPx, coarseSdPx],
      });
    }
  }
  if (!lens) throw new Error("no photo");
  return { points, seen, lens, rows: Math.round(2 * lens.cy + 1) };
}

/**
 * 27 mm equivalent, as the photos' EXIF says. By the diagonal of the 36 x 24 mm frame (CIPA DCG-001,
 * from memory) that is 4417 px, by its width, as some makers go, 4248: the middle of both.
 */
const startLens = (width: number, height: number): Lens => {
  const f = (27 / 2) * (Math.hypot(width, height) / Math.hypot(36, 24) + width / 36);
  return {
    ...{ fx: f, fy: f, cx: (width - 1) / 2, cy: (height - 1) / 2 },
    ...{ k1: 0, k2: 0, p1: 0, p2: 0, k3: 0 },
  };
};
