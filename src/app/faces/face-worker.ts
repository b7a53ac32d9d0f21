import { FaceDetector, FilesetResolver } from "@mediapipe/tasks-vision";
import { expose } from "comlink";

/** A box in shares of the picture's width and height. */
export interface FaceBox {
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  readonly score: number;
}

/** Below this a find is no face; a face that is not found is the user's to brush. */
const leastScore = 0.4;

/** Faces far away are small for the detector, which sees 192 x 192 px: it looks at tiles, too. */
const tileShares = [1, 0.5, 0.3] as const;
const overlap = 0.34;
/** Two boxes that share this much of the smaller one show one face. */
const sameFace = 0.4;

let detector: Promise<FaceDetector> | null = null;

/** Loaded at the first question: only where a copy is about to leave. */
function load(folder: string): Promise<FaceDetector> {
  detector ??= (async () => {
    const files = await FilesetResolver.forVisionTasks(folder, true);
    return FaceDetector.createFromOptions(files, {
      baseOptions: { modelAssetPath: `${folder}/face-model.tflite`, delegate: "CPU" },
      runningMode: "IMAGE",
      minDetectionConfidence: leastScore,
    });
  })().catch((error) => {
    detector = null;
    throw error;
  });
  return detector;
}

interface Tile {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** The whole picture, then overlapping square tiles of smaller and smaller size, px. */
function tilesOf(width: number, height: number): Tile[] {
  return tileShares.flatMap((share) => {
    if (share === 1) {
      return [{ left: 0, top: 0, width, height }];
    }
    const side = Math.round(share * Math.max(width, height));
    const places = (length: number): number[] => {
      if (length <= side) {
        return [0];
      }
      const count = Math.ceil((length - side) / (side * (1 - overlap))) + 1;
      return Array.from({ length: count }, (_, i) => Math.round((i * (length - side)) / (count - 1)));
    };
    return places(height).flatMap((top) =>
      places(width).map((left) => ({
        left,
        top,
        width: Math.min(side, width),
        height: Math.min(side, height),
      })),
    );
  });
}

const area = (box: FaceBox): number =>
  Math.max(0, box.right - box.left) * Math.max(0, box.bottom - box.top);

const shared = (a: FaceBox, b: FaceBox): number =>
  Math.max(0, Math.min(a.right, b.right) - Math.max(a.left, b.left)) *
  Math.max(0, Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top));

/** The surest box of each face. */
function unique(boxes: readonly FaceBox[]): FaceBox[] {
  const kept: FaceBox[] = [];
  for (const box of [...boxes].sort((a, b) => b.score - a.score)) {
    const known = kept.some(
      (other) => shared(box, other) > sameFace * Math.min(area(box), area(other)),
    );
    if (!known) {
      kept.push(box);
    }
  }
  return kept;
}

const api = {
  /** Faces in a picture as it is shown. `folder`: where the detector's files lie. */
  async find(picture: Blob, folder: string): Promise<FaceBox[]> {
    const face = await load(folder);
    const bitmap = await createImageBitmap(picture);
    const { width, height } = bitmap;
    const boxes: FaceBox[] = [];
    for (const tile of tilesOf(width, height)) {
      const canvas = new OffscreenCanvas(Math.min(tile.width, 640), 0);
      canvas.height = Math.round((canvas.width * tile.height) / tile.width);
      const context = canvas.getContext("2d", { willReadFrequently: true });
      if (!context) {
        throw new Error("This browser gives no canvas to the face detector.");
      }
      const { left, top } = tile;
      const size = [canvas.width, canvas.height] as const;
      context.drawImage(bitmap, left, top, tile.width, tile.height, 0, 0, ...size);
      const scale = tile.width / canvas.width;
      const pixels = context.getImageData(0, 0, ...size);
      for (const { boundingBox: box, categories } of face.detect(pixels).detections) {
        if (box) {
          boxes.push({
            left: (left + box.originX * scale) / width,
            top: (top + box.originY * scale) / height,
            right: (left + (box.originX + box.width) * scale) / width,
            bottom: (top + (box.originY + box.height) * scale) / height,
            score: categories[0]?.score ?? 0,
          });
        }
      }
    }
    bitmap.close();
    return unique(boxes);
  },
};

export type FaceWorker = typeof api;
expose(api);
