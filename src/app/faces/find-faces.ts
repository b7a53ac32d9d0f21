import { type Remote, wrap } from "comlink";
import type { FaceBox, FaceWorker } from "./face-worker.ts";

let remote: Remote<FaceWorker> | null = null;

/** Faces in a picture as it is shown; the detector is loaded at the first call. */
export function findFaces(picture: Blob): Promise<FaceBox[]> {
  remote ??= wrap<FaceWorker>(
    new Worker(new URL("./face-worker.ts", import.meta.url), { type: "module" }),
  );
  return remote.find(picture, new URL(__FACES_FOLDER__, document.baseURI).href);
}
