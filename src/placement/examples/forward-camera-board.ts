import type { z } from "zod";
import type { placementSheetSchema } from "../sheet.ts";

/** Invented. One printed board for a forward camera, on the geometric centreline. */
export const forwardCameraBoard: z.input<typeof placementSheetSchema> = {
  format: "plumbshot-placement",
  version: 1,
  title: "Example 1: board for a forward camera",
  vehicle: "Invented hatchback",
  invented: true,
  source: "Invented for practice; never use these numbers on a car.",
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
      checks: [
        {
          kind: "distance",
          id: "distance",
          required: 1510,
          lowerDeviation: -8,
          upperDeviation: 8,
          reference: "Invented example 1, line 1",
        },
        {
          kind: "lateral offset",
          id: "lateral",
          required: 0,
          lowerDeviation: -8,
          upperDeviation: 8,
          reference: "Invented example 1, line 2",
        },
        {
          kind: "height",
          id: "height",
          required: 1230,
          lowerDeviation: -6,
          upperDeviation: 6,
          reference: "Invented example 1, line 3",
        },
        {
          kind: "yaw",
          id: "yaw",
          required: 0,
          lowerDeviation: -0.6,
          upperDeviation: 0.6,
          reference: "Invented example 1, line 4",
        },
        {
          kind: "pitch",
          id: "pitch",
          required: 0,
          lowerDeviation: -0.8,
          upperDeviation: 0.8,
          reference: "Invented example 1, line 5",
        },
        {
          kind: "roll",
          id: "roll",
          required: 0,
          lowerDeviation: -0.5,
          upperDeviation: 0.5,
          reference: "Invented example 1, line 6",
        },
      ],
    },
  ],
};
