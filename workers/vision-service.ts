import { loadOpenCV } from "@opencvjs/web";
import { openCvTagFinder } from "../src/detection/opencv-tag-finder.ts";
import type { TagFinder } from "../src/detection/tag-finder.ts";
import { examinePhoto } from "../src/job/examine.ts";
import type { DecodedPhoto } from "../src/photo/decode.ts";
import type { ExamineTask, VisionApi } from "./vision-api.ts";

export type PhotoDecoder = (bytes: Uint8Array, name: string) => Promise<DecodedPhoto>;

/** The vision worker's work, the same in the browser and in Node; only the decoder differs. */
export const visionService = (decode: PhotoDecoder): VisionApi => {
  let finder: Promise<TagFinder> | null = null;
  const finderOnce = (): Promise<TagFinder> => {
    finder ??= loadOpenCV().then((cv) => openCvTagFinder(cv));
    return finder;
  };
  return {
    warmUp: async () => {
      await finderOnce();
    },
    examine: async (task: ExamineTask) => {
      const start = performance.now();
      const decoded = await decode(task.bytes, task.name);
      const decodeMs = performance.now() - start;
      return examinePhoto(decoded, await finderOnce(), task, decodeMs, () => performance.now());
    },
  };
};
