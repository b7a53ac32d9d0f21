import { type ExampleSheet, inventedHead, lines, plusMinus } from "./sheet-parts.ts";

/** Invented. One printed board for a forward camera, on the geometric centreline. */
export const forwardCameraBoard: ExampleSheet = {
  ...inventedHead(1, "board for a forward camera"),
  vehicle: "Invented hatchback",
  origin: { kind: "front-axle line" },
  axis: "geometric centreline",
  heightReference: "floor under the target",
  steps: [
    {
      id: "board",
      title: "Board square to the car",
      target: {
        name: "camera board",
        kind: "board",
        facing: "rearward",
        widthMm: 1200,
        heightMm: 800,
      },
      checks: lines(1, [
        { kind: "distance", id: "distance", required: 1510, ...plusMinus(8) },
        { kind: "lateral offset", id: "lateral", required: 0, ...plusMinus(8) },
        { kind: "height", id: "height", required: 1230, ...plusMinus(6) },
        { kind: "yaw", id: "yaw", required: 0, ...plusMinus(0.6) },
        { kind: "pitch", id: "pitch", required: 0, ...plusMinus(0.8) },
        { kind: "roll", id: "roll", required: 0, ...plusMinus(0.5) },
      ]),
    },
  ],
};
