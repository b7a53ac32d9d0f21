import type { z } from "zod";
import type { placementSheetSchema } from "../sheet.ts";

/** Invented. A reflector plate for a front radar on the thrust line, tilted in three steps. */
export const radarPlate: z.input<typeof placementSheetSchema> = {
  format: "plumbshot-placement",
  version: 1,
  title: "Example 2: reflector plate for a front radar",
  vehicle: "Invented estate car",
  invented: true,
  source: "Invented for practice; never use these numbers on a car.",
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
        {
          label: "upright",
          pitch: 0,
          lowerDeviation: -0.4,
          upperDeviation: 0.4,
          reference: "Invented example 2, tilt 1",
        },
        {
          label: "face up 2 degrees",
          pitch: 2,
          lowerDeviation: -0.4,
          upperDeviation: 0.4,
          reference: "Invented example 2, tilt 2",
        },
        {
          label: "face down 2 degrees",
          pitch: -2,
          lowerDeviation: -0.4,
          upperDeviation: 0.4,
          reference: "Invented example 2, tilt 3",
        },
      ],
      checks: [
        {
          kind: "distance",
          id: "distance",
          required: 2350,
          lowerDeviation: -20,
          upperDeviation: 20,
          reference: "Invented example 2, line 1",
        },
        {
          kind: "lateral offset",
          id: "lateral",
          required: -140,
          lowerDeviation: -12,
          upperDeviation: 12,
          reference: "Invented example 2, line 2",
        },
        {
          kind: "height",
          id: "height",
          required: 480,
          lowerDeviation: -6,
          upperDeviation: 6,
          reference: "Invented example 2, line 3",
        },
        {
          kind: "yaw",
          id: "yaw",
          required: 0,
          lowerDeviation: -0.4,
          upperDeviation: 0.4,
          reference: "Invented example 2, line 4",
        },
        {
          kind: "floor slope",
          id: "slope",
          required: 0,
          lowerDeviation: -0.4,
          upperDeviation: 0.4,
          reference: "Invented example 2, line 5",
        },
        {
          kind: "floor flatness",
          id: "flatness",
          required: 0,
          lowerDeviation: null,
          upperDeviation: 10,
          reference: "Invented example 2, line 6",
        },
      ],
    },
  ],
};
