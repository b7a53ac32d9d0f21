import "./no-eval.ts";
import * as Comlink from "comlink";
import { patternMemory } from "../../src/detect/print-fit/print/pattern-memory.ts";
import type { PhotoDecoder } from "../shared/vision-api.ts";
import { visionService } from "../shared/vision-service.ts";
import { decodePhotoInBrowser, dropPicture } from "./decode-browser.ts";
import { encodeInBrowser } from "./encode-browser.ts";
import { lumaOfFrame, type StreamFrame } from "./frame-luma.ts";
import { giveBack } from "./give-back.ts";
import { libraryModule, loadOpenCvInBrowser, takeModule } from "./opencv-browser.ts";

/** The file is not wanted any more once there is a picture of it. */
const decodeOnce: PhotoDecoder = async (bytes, name) => {
  const photo = await decodePhotoInBrowser(bytes, name);
  giveBack(bytes);
  return photo;
};

const service = visionService(loadOpenCvInBrowser, decodeOnce, encodeInBrowser);

/** The vision worker's work with frames of the camera, which it closes. */
const streams = {
  seeFrame: async (frame: StreamFrame) => {
    const { width, height, data } = await lumaOfFrame(frame);
    return { width, height, tags: await service.see({ width, height, data }) };
  },
  measureFrame: async (frame: StreamFrame) => {
    const { width, height, data } = await lumaOfFrame(frame);
    return { width, height, boards: await service.boardsIn({ width, height, data }) };
  },
};

/** The compiled library, from worker to worker. */
const library = { libraryModule, takeModule };

/** No photo follows for a while: what only the last one needed is given back. */
const rest = (): void => {
  dropPicture();
  patternMemory().dropHalf();
};

const offered = { ...service, ...streams, ...library, rest };
export type BrowserVision = typeof offered;

Comlink.expose(offered);
