import { type ExampleSheet, inventedHead, lines, plusMinus } from "./sheet-parts.ts";

/** Both sides alike; angles are counter-clockwise, so those of the right side change sign. */
const oneSide = (side: "left" | "right"): ExampleSheet["steps"][number] => {
  const sign = side === "left" ? 1 : -1;
  const between = {
    from: { kind: "dropped point", name: `rear corner ${side}` },
    to: { kind: "target" },
  } as const;
  return {
    id: side,
    title: `Reflector behind on the ${side}`,
    target: {
      name: `corner reflector ${side}`,
      kind: "corner reflector",
      facing: "forward",
      widthMm: 200,
      heightMm: 200,
    },
    checks: lines(3, [
      { kind: "range", id: "range", required: 2000, ...plusMinus(15), ...between },
      { kind: "bearing", id: "bearing", required: sign * 150, ...plusMinus(0.8), ...between },
      { kind: "height", id: "height", required: 620, ...plusMinus(10) },
      { kind: "yaw", id: "yaw", required: sign * -30, ...plusMinus(3) },
      {
        kind: "straight distance",
        id: "from-wheel",
        required: 2667,
        ...plusMinus(25),
        from: { kind: "wheel centre", wheel: `rear ${side}` },
        to: { kind: "target" },
      },
    ]),
  };
};

/** Invented. Corner reflectors for rear radars, given by range and bearing from a rear point. */
export const rearReflectors: ExampleSheet = {
  ...inventedHead(3, "corner reflectors behind the car"),
  vehicle: "Invented van",
  origin: { kind: "rear-axle line" },
  axis: "geometric centreline",
  heightReference: "floor under the target",
  steps: [oneSide("left"), oneSide("right")],
};
