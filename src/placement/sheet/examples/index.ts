import { crossbar } from "./crossbar.ts";
import { forwardCameraBoard } from "./forward-camera-board.ts";
import { radarPlate } from "./radar-plate.ts";
import { rearReflectors } from "./rear-reflectors.ts";
import { surroundMats } from "./surround-mats.ts";

/** Invented example sheets that together use every kind of check. Their numbers belong to no car. */
export const exampleSheets = {
  "forward-camera-board": forwardCameraBoard,
  "radar-plate": radarPlate,
  "rear-reflectors": rearReflectors,
  "surround-mats": surroundMats,
  crossbar,
} as const;
