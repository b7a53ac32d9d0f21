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

/**
 * Below this a find is no face. On the photos of `bench:record` clear faces scored 0.73 and more, finds
 * on boards and camera sheets 0.69 and less. What is not found is the user's to brush.
 */
const leastScore = 0.71;

/** Faces far away are small for the detector, which sees 192 x 192 px: it looks at tiles, too. */
const tileShares = [1, 0.5] as const;
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
      return Array.from({ length: count }, (_, i) =>
        Math.round((i * (length - side)) / (count - 1)),
      );
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

/** What is drawn over in a copy, shares of the picture as it is shown. */
export interface CopyPlan {
  /** Ellipses of this size are made unrecognisable. */
  readonly covered: readonly Pick<FaceBox, "left" | "top" | "right" | "bottom">[];
  /** Corners x0 y0 .. x3 y3 of the boards: never covered. */
  readonly boards: readonly (readonly number[])[];
  /** Nothing but the boards is left. */
  readonly boardsOnly: boolean;
}

/** Boards are given back with this much around them. */
const boardMargin = 1.12;

type Context = OffscreenCanvasRenderingContext2D;

/** Replaces an ellipse by its mean colour: nothing is left that could be sharpened again. */
function cover(context: Context, box: CopyPlan["covered"][number], w: number, h: number): void {
  const [x, y] = [box.left * w, box.top * h];
  const [bw, bh] = [(box.right - box.left) * w, (box.bottom - box.top) * h];
  const small = new OffscreenCanvas(1, 1);
  const mean = small.getContext("2d", { willReadFrequently: true });
  mean?.drawImage(context.canvas, x, y, bw, bh, 0, 0, 1, 1);
  const [r, g, b] = mean?.getImageData(0, 0, 1, 1).data ?? [128, 128, 128];
  context.save();
  context.beginPath();
  context.ellipse(x + bw / 2, y + bh / 2, 0.65 * bw, 0.72 * bh, 0, 0, 2 * Math.PI);
  context.fillStyle = `rgb(${r} ${g} ${b})`;
  context.fill();
  context.restore();
}

/** Draws the boards as the photo has them. */
function giveBack(
  context: Context,
  picture: ImageBitmap,
  corners: readonly number[],
  w: number,
  h: number,
): void {
  const xs = corners.filter((_, i) => i % 2 === 0);
  const ys = corners.filter((_, i) => i % 2 === 1);
  const middle = [xs, ys].map((list) => list.reduce((sum, v) => sum + v, 0) / list.length);
  context.save();
  context.beginPath();
  for (const [i, px] of xs.entries()) {
    const at = [px, ys[i]].map((v, k) => middle[k] + (v - middle[k]) * boardMargin);
    context.lineTo(at[0] * w, at[1] * h);
  }
  context.closePath();
  context.clip();
  context.drawImage(picture, 0, 0, w, h);
  context.restore();
}

const api = {
  /** A copy that may leave: at most `longestSide` px, without camera data, covered as planned. */
  async copy(picture: Blob, plan: CopyPlan, longestSide: number): Promise<Blob> {
    const bitmap = await createImageBitmap(picture);
    const scale = Math.min(1, longestSide / Math.max(bitmap.width, bitmap.height));
    const [w, h] = [Math.round(bitmap.width * scale), Math.round(bitmap.height * scale)];
    const canvas = new OffscreenCanvas(w, h);
    const context = canvas.getContext("2d");
    if (!context) {
      throw new Error("This browser gives no canvas for copies.");
    }
    if (plan.boardsOnly) {
      context.fillStyle = "#fff";
      context.fillRect(0, 0, w, h);
    } else {
      context.drawImage(bitmap, 0, 0, w, h);
      for (const box of plan.covered) {
        cover(context, box, w, h);
      }
    }
    for (const corners of plan.boards) {
      giveBack(context, bitmap, corners, w, h);
    }
    bitmap.close();
    return canvas.convertToBlob({ type: "image/jpeg", quality: 0.85 });
  },

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
