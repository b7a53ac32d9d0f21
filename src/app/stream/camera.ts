/**
 * The phone's camera as a stream, with everything that can go wrong named: a page on plain http, no
 * camera, a refusal, another app that holds it, a lens that is taken away, a stream too coarse.
 */

export type CameraProblem =
  | "insecure"
  | "no camera"
  | "denied"
  | "busy"
  | "too coarse"
  | "stopped"
  | "unknown";

export interface LensChoice {
  readonly id: string;
  readonly label: string;
}

export interface CameraAbilities {
  readonly torch: boolean;
  readonly lenses: readonly LensChoice[];
}

export interface OpenCamera {
  readonly stream: MediaStream;
  readonly track: MediaStreamTrack;
  readonly deviceId: string;
  readonly abilities: CameraAbilities;
}

/** Longer side below which boards at 3 m have too few pixels a cell, px. */
export const coarsestSide = 1000;

/** What browsers can set beyond TypeScript's own list (W3C Image Capture). */
interface MoreSettings {
  torch?: boolean;
  zoom?: number;
}
interface MoreCapabilities {
  torch?: boolean;
  zoom?: { readonly min: number; readonly max: number };
}

export class CameraRefused extends Error {
  constructor(readonly problem: CameraProblem) {
    super(problem);
  }
}

/** Opens the rear camera, or the one named; throws CameraRefused. Zoom is set to 1 where it can be. */
export async function openCamera(deviceId: string | null): Promise<OpenCamera> {
  const media = navigator.mediaDevices as MediaDevices | undefined;
  if (!window.isSecureContext || !media) {
    throw new CameraRefused("insecure");
  }
  const size = { width: { ideal: 1920 }, height: { ideal: 1080 }, frameRate: { ideal: 30 } };
  const which = deviceId
    ? { deviceId: { exact: deviceId } }
    : { facingMode: { ideal: "environment" } };
  let stream: MediaStream;
  try {
    stream = await media.getUserMedia({ video: { ...size, ...which }, audio: false });
  } catch (error) {
    throw new CameraRefused(problemOf(error));
  }
  const [track] = stream.getVideoTracks();
  const able = (track.getCapabilities?.() ?? {}) as MoreCapabilities;
  if (able.zoom && able.zoom.min <= 1 && able.zoom.max >= 1) {
    await setMore(track, { zoom: 1 });
  }
  return {
    stream,
    track,
    deviceId: track.getSettings().deviceId ?? "",
    abilities: { torch: able.torch === true, lenses: await lensesOf(media) },
  };
}

export const setTorch = (track: MediaStreamTrack, on: boolean): Promise<void> =>
  setMore(track, { torch: on });

/** A camera that cannot do what it said it could goes on without. */
async function setMore(track: MediaStreamTrack, settings: MoreSettings): Promise<void> {
  try {
    await track.applyConstraints({ advanced: [settings as MediaTrackConstraintSet] });
  } catch {}
}

/** Rear cameras; labels are there only after permission. */
async function lensesOf(media: MediaDevices): Promise<LensChoice[]> {
  const devices = await media.enumerateDevices();
  return devices
    .filter(({ kind, label }) => kind === "videoinput" && !/front|user|selfie/i.test(label))
    .map(({ deviceId, label }, i) => ({ id: deviceId, label: label || `${i + 1}` }));
}

/** Names of errors: W3C Media Capture and Streams, 10.2. */
function problemOf(error: unknown): CameraProblem {
  switch (error instanceof DOMException ? error.name : "") {
    case "NotFoundError":
    case "OverconstrainedError":
      return "no camera";
    case "NotAllowedError":
      return "denied";
    case "SecurityError":
      return "insecure";
    case "NotReadableError":
    case "AbortError":
      return "busy";
    default:
      return "unknown";
  }
}
