import type { LumaImage } from "../../src/photo/grey/luma.ts";

/** A frame of a stream on its way to a worker. */
export type StreamFrame = VideoFrame | ImageBitmap;

let canvas: OffscreenCanvas | null = null;

/**
 * Grey values of a frame, which is closed. Where the browser hands over the Y plane it is taken as it
 * is, else the frame is drawn. `turns` of a phone are in the frame already.
 */
export async function lumaOfFrame(frame: StreamFrame): Promise<LumaImage> {
  try {
    const plane = "codedWidth" in frame ? await yPlane(frame) : null;
    return plane ?? drawn(frame);
  } finally {
    frame.close();
  }
}

async function yPlane(frame: VideoFrame): Promise<LumaImage | null> {
  const rect = frame.visibleRect;
  if (!rect || !/^(I420A?|NV12)$/.test(frame.format ?? "")) return null;
  // A frame that is to be shown turned has its planes unturned.
  if (frame.displayWidth !== rect.width || frame.displayHeight !== rect.height) return null;
  const planes = new Uint8Array(frame.allocationSize());
  const [{ offset, stride }] = await frame.copyTo(planes);
  const { width, height } = rect;
  if (stride === width)
    return { width, height, data: planes.subarray(offset, offset + width * height) };
  const data = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) {
    const row = offset + y * stride;
    data.set(planes.subarray(row, row + width), y * width);
  }
  return { width, height, data };
}

function drawn(frame: StreamFrame): LumaImage {
  const [width, height] =
    "displayWidth" in frame
      ? [frame.displayWidth, frame.displayHeight]
      : [frame.width, frame.height];
  if (canvas?.width !== width || canvas.height !== height)
    canvas = new OffscreenCanvas(width, height);
  const context = canvas.getContext("2d", { willReadFrequently: true });
  if (!context) throw new Error("This browser gives workers no canvas.");
  context.drawImage(frame, 0, 0);
  const { data: rgba } = context.getImageData(0, 0, width, height);
  const data = new Uint8Array(width * height);
  for (let i = 0, at = 0; i < data.length; i++, at += 4) {
    data[i] = (19595 * rgba[at] + 38470 * rgba[at + 1] + 7471 * rgba[at + 2] + 32768) >> 16;
  }
  return { width, height, data };
}
