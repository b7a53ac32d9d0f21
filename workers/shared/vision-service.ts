import type { OpenCV } from "@opencvjs/web";
import { findBoards } from "../../src/detect/find-boards.ts";
import { seeTags } from "../../src/detect/live-boards.ts";
import { boardTagFinder, sheetTagFinder } from "../../src/detect/tags/opencv-tag-finder.ts";
import { examinePhoto } from "../../src/job/run/examine.ts";
import { onTimeline } from "./timeline.ts";
import type { ExamineTask, PhotoDecoder, StreamVision, VisionApi } from "./vision-api.ts";
import { type Finders, type PictureEncoder, warmUpVision } from "./warm-up.ts";

/** The vision worker's work, the same in the browser and in Node; loader and decoder differ. */
export const visionService = (
  loadOpenCV: () => Promise<typeof OpenCV>,
  decode: PhotoDecoder,
  encode?: PictureEncoder,
): VisionApi & StreamVision & { expect(): void } => {
  let finders: Promise<Finders> | null = null;
  let asked = false;
  const findersOnce = (): Promise<Finders> => {
    finders ??= loadOpenCV().then((cv) => ({
      boards: boardTagFinder(cv),
      sheet: sheetTagFinder(cv),
    }));
    return finders;
  };
  return {
    warmUp: async (next) => {
      const ready = await onTimeline("load vision code", findersOnce);
      void onTimeline("warm-up", () => warmUpVision(ready, next, decode, encode, () => asked));
    },
    // Photos are on their way: practice does not keep the processor from them.
    expect: () => {
      asked = true;
    },
    see: async (frame) => {
      asked = true;
      return seeTags(frame, (await findersOnce()).boards);
    },
    boardsIn: async (frame) => {
      asked = true;
      return findBoards(frame, (await findersOnce()).boards, { what: "boards" }).boards;
    },
    examine: async (task: ExamineTask) => {
      asked = true;
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
