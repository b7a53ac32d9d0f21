import { type Remote, wrap } from "comlink";
import type { CopyPlan, FaceBox, FaceWorker } from "./face-worker.ts";

let remote: Remote<FaceWorker> | null = null;

function worker(): Remote<FaceWorker> {
  remote ??= wrap<FaceWorker>(
    new Worker(new URL("./face-worker.ts", import.meta.url), { type: "module" }),
  );
  return remote;
}

/** Faces in a picture as it is shown; the detector is loaded at the first call. */
export const findFaces = (picture: Blob): Promise<FaceBox[]> =>
  worker().find(picture, new URL(__FACES_FOLDER__, document.baseURI).href);

/** Longest side of a copy, px: boards can be told, number plates far away hardly. */
export const copySide = 1600;

/** A copy that may leave the device. */
export const copyFor = (picture: Blob, plan: CopyPlan, longestSide = copySide): Promise<Blob> =>
  worker().copy(picture, plan, longestSide);
