import { atMost, type ExampleSheet, inventedHead, lines, plusMinus } from "./sheet-parts.ts";

const tilt = (line: number, label: string, pitch: number) => ({
  label,
  pitch,
  ...plusMinus(0.4),
  reference: `Invented example 2, tilt ${line}`,
});

/** Invented. A reflector plate for a front radar on the thrust line, tilted in three steps. */
export const radarPlate: ExampleSheet = {
  ...inventedHead(2, "reflector plate for a front radar"),
  vehicle: "Invented estate car",
  origin: { kind: "front-axle line" },
  axis: "thrust line",
  heightReference: "floor under the car",
  secondPosition: true,
  steps: [
    {
      id: "plate",
      title: "Reflector plate",
      target: {
        name: "reflector plate",
        kind: "radar reflector plate",
        facing: "rearward",
        widthMm: 500,
        heightMm: 500,
      },
      note: "Tilt the plate only when the scan tool asks for it; shoot the stand after each tilt.",
      tiltSteps: [
        tilt(1, "upright", 0),
        tilt(2, "face up 2 degrees", 2),
        tilt(3, "face down 2 degrees", -2),
      ],
      checks: lines(2, [
        { kind: "distance", id: "distance", required: 2350, ...plusMinus(20) },
        { kind: "lateral offset", id: "lateral", required: -140, ...plusMinus(12) },
        { kind: "height", id: "height", required: 480, ...plusMinus(6) },
        { kind: "yaw", id: "yaw", required: 0, ...plusMinus(0.4) },
        { kind: "floor slope", id: "slope", required: 0, ...plusMinus(0.4) },
        { kind: "floor flatness", id: "flatness", required: 0, ...atMost(10) },
      ]),
    },
  ],
};
