import { atLeast, type ExampleSheet, inventedHead, lines, plusMinus } from "./sheet-parts.ts";

const diagonal = (wheel: "left" | "right", corner: "left" | "right") =>
  [
    { kind: "wheel centre", wheel: `front ${wheel}` },
    { kind: "target corner", corner: `upper ${corner}` },
  ] as [
    { kind: "wheel centre"; wheel: "front left" | "front right" },
    { kind: "target corner"; corner: "upper left" | "upper right" },
  ];

/** Invented. A crossbar squared by diagonals, measured from a dropped point at the front of the body. */
export const crossbar: ExampleSheet = {
  ...inventedHead(5, "crossbar squared by diagonals"),
  vehicle: "Invented pick-up",
  origin: { kind: "dropped point", name: "body centre front", lateralFrom: "axis" },
  axis: "geometric centreline",
  heightReference: "floor under the car",
  steps: [
    {
      id: "bar",
      title: "Crossbar",
      target: {
        name: "crossbar",
        kind: "crossbar",
        facing: "rearward",
        widthMm: 2000,
        heightMm: 80,
      },
      checks: lines(5, [
        { kind: "distance", id: "distance", required: 1000, ...plusMinus(6) },
        { kind: "lateral offset", id: "lateral", required: 0, ...plusMinus(6) },
        {
          kind: "height",
          id: "height",
          required: 900,
          ...plusMinus(10),
          above: "floor under the target",
        },
        {
          kind: "equal diagonals",
          id: "diagonals",
          required: 0,
          ...plusMinus(8),
          first: diagonal("left", "right"),
          second: diagonal("right", "left"),
        },
        { kind: "parallel", id: "parallel", required: 0, ...plusMinus(0.4), axle: "front" },
        { kind: "roll", id: "level", required: 0, ...plusMinus(0.4) },
        {
          kind: "straight distance",
          id: "to-front-midpoint",
          required: 1950,
          ...plusMinus(30),
          from: { kind: "axle midpoint", axle: "front" },
          to: { kind: "target" },
        },
        {
          kind: "free space",
          id: "free",
          required: 1200,
          ...atLeast(0),
          from: { kind: "target" },
          obstacles: [{ kind: "floor board", board: "21" }],
        },
      ]),
    },
  ],
};
