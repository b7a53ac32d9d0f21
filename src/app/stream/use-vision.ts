import { useEffect, useRef } from "react";
import { type StreamVisionWorker, streamVision } from "../../../workers/browser/browser-stream.ts";

/**
 * The vision worker of a screen that looks through the camera. It starts with the screen, so that it is
 * ready when the camera is allowed, and ends with it.
 */
export function useStreamVision(): React.RefObject<StreamVisionWorker | null> {
  const vision = useRef<StreamVisionWorker | null>(null);
  useEffect(() => {
    const worker = streamVision();
    vision.current = worker;
    return () => {
      vision.current = null;
      worker.close();
    };
  }, []);
  return vision;
}
