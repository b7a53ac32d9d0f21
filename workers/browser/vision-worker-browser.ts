import "./no-eval.ts";
import * as Comlink from "comlink";
import { visionService } from "../shared/vision-service.ts";
import { decodePhotoInBrowser } from "./decode-browser.ts";
import { encodeInBrowser } from "./encode-browser.ts";
import { lumaOfFrame, type StreamFrame } from "./frame-luma.ts";

const service = visionService(decodePhotoInBrowser, encodeInBrowser);

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
export type FrameVision = typeof streams & { warmUp(): Promise<void> };

Comlink.expose({ ...service, ...streams });
