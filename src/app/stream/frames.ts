import type { StreamFrame } from "../../../workers/browser/browser-stream.ts";

/** The present frame of a video, to be handed to a worker. */
export async function grabFrame(video: HTMLVideoElement): Promise<StreamFrame | null> {
  if (video.readyState < HTMLMediaElement.HAVE_CURRENT_DATA || video.videoWidth === 0) {
    return null;
  }
  try {
    return typeof VideoFrame === "undefined"
      ? await createImageBitmap(video)
      : new VideoFrame(video, { timestamp: Math.round(performance.now() * 1000) });
  } catch {
    return null;
  }
}

/**
 * Calls `work` again and again, at most every `leastMs`, one at a time; ends with the signal. What
 * fails is told once and ends it.
 */
export async function everyFrame(
  leastMs: number,
  signal: AbortSignal,
  work: () => Promise<void>,
): Promise<void> {
  while (!signal.aborted) {
    const start = performance.now();
    await work();
    const rest = Math.max(0, leastMs - (performance.now() - start));
    await new Promise((resolve) => setTimeout(resolve, rest));
  }
}
