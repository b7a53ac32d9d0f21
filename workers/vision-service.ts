import { loadOpenCV } from "@opencvjs/web";
import { openCvTagFinder } from "../src/detection/opencv-tag-finder.ts";
import { sheetTagFinder } from "../src/detection/sheet-tag-finder.ts";
import type { TagFinder } from "../src/detection/tag-finder.ts";
import { examinePhoto } from "../src/job/examine.ts";
import type { DecodedPhoto } from "../src/photo/decode.ts";
import { onTimeline } from "./timeline.ts";
import type { ExamineTask, VisionApi } from "./vision-api.ts";

export type PhotoDecoder = (bytes: Uint8Array, name: string) => Promise<DecodedPhoto>;

type Finders = Readonly<Record<ExamineTask["what"], TagFinder>>;

/** The vision worker's work, the same in the browser and in Node; only the decoder differs. */
export const visionService = (decode: PhotoDecoder): VisionApi => {
  let finders: Promise<Finders> | null = null;
  const findersOnce = (): Promise<Finders> => {
    finders ??= loadOpenCV().then((cv) => ({
      boards: openCvTagFinder(cv),
      sheet: sheetTagFinder(cv),
    }));
    return finders;
  };
  return {
    warmUp: async () => {
      await onTimeline("load vision code", findersOnce);
    },
    examine: async (task: ExamineTask) => {
      const start = performance.now();
      const decoded = await onTimeline(`decode ${task.name}`, () => decode(task.bytes, task.name));
      const decodeMs = performance.now() - start;
      const finder = (await findersOnce())[task.what];
      return onTimeline(`find and fit ${task.name}`, () =>
        examinePhoto(decoded, finder, task, decodeMs, () => performance.now()),
      );
    },
  };
};
