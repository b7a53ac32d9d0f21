import { useCallback, useEffect, useRef, useState } from "react";
import {
  type CameraProblem,
  CameraRefused,
  coarsestSide,
  type OpenCamera,
  openCamera,
} from "./camera.ts";

export interface CameraState {
  readonly camera: OpenCamera | null;
  readonly problem: CameraProblem | null;
  /** Size of the frames; null until the first one came. */
  readonly size: { readonly width: number; readonly height: number } | null;
  /** To be put on the video element. */
  readonly video: React.RefObject<HTMLVideoElement | null>;
  readonly retry: () => void;
  readonly choose: (deviceId: string) => void;
}

/**
 * The camera while a screen is open. A page that goes out of sight gives the camera back, and takes it
 * again when it returns: phones take it away without a word otherwise.
 */
export function useCamera(): CameraState {
  const video = useRef<HTMLVideoElement>(null);
  const [camera, setCamera] = useState<OpenCamera | null>(null);
  const [problem, setProblem] = useState<CameraProblem | null>(null);
  const [size, setSize] = useState<CameraState["size"]>(null);
  const [turn, setTurn] = useState(0);
  const wanted = useRef<string | null>(null);
  useEffect(() => {
    // A new turn opens the camera anew.
    void turn;
    let open: OpenCamera | null = null;
    let left = false;
    const start = async () => {
      if (open || document.visibilityState !== "visible") {
        return;
      }
      try {
        const found = await openCamera(wanted.current);
        if (left) {
          stop(found);
          return;
        }
        open = found;
        found.track.addEventListener("ended", () => setProblem("stopped"));
        setProblem(null);
        setCamera(found);
      } catch (error) {
        if (!left) {
          setProblem(error instanceof CameraRefused ? error.problem : "unknown");
        }
      }
    };
    const seen = () => {
      if (document.visibilityState === "visible") {
        void start();
      } else if (open) {
        stop(open);
        open = null;
        setCamera(null);
      }
    };
    void start();
    document.addEventListener("visibilitychange", seen);
    return () => {
      left = true;
      document.removeEventListener("visibilitychange", seen);
      if (open) {
        stop(open);
      }
      setCamera(null);
      setSize(null);
    };
  }, [turn]);
  useEffect(() => {
    const element = video.current;
    if (!element || !camera) {
      return;
    }
    element.srcObject = camera.stream;
    void element.play().catch(() => undefined);
    // The size changes when the phone is turned.
    const measure = () => {
      const { videoWidth: width, videoHeight: height } = element;
      if (width > 0) {
        setSize({ width, height });
        setProblem(Math.max(width, height) < coarsestSide ? "too coarse" : null);
      }
    };
    measure();
    element.addEventListener("resize", measure);
    element.addEventListener("loadedmetadata", measure);
    return () => {
      element.removeEventListener("resize", measure);
      element.removeEventListener("loadedmetadata", measure);
      element.srcObject = null;
    };
  }, [camera]);
  const retry = useCallback(() => {
    setProblem(null);
    setTurn((count) => count + 1);
  }, []);
  const choose = useCallback(
    (deviceId: string) => {
      wanted.current = deviceId;
      retry();
    },
    [retry],
  );
  return { camera, problem, size, video, retry, choose };
}

function stop({ stream }: OpenCamera): void {
  for (const track of stream.getTracks()) {
    track.stop();
  }
}
