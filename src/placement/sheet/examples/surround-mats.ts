import { atMost, type ExampleSheet, inventedHead, lines, plusMinus } from "./sheet-parts.ts";

interface Mat {
  readonly id: string;
  readonly title: string;
  readonly widthMm: number;
  readonly heightMm: number;
  /** Where its upper left corner belongs: ahead of the front axle, left of the centreline, mm. */
  readonly aheadMm: number;
  readonly leftMm: number;
}

/** A mat square to the car: three of its corners, each along and across. */
const corners = ({ widthMm, heightMm, aheadMm, leftMm }: Mat) =>
  (
    [
      ["upper left", aheadMm, leftMm],
      ["upper right", aheadMm, leftMm - widthMm],
      ["lower left", aheadMm - heightMm, leftMm],
    ] as const
  ).flatMap(([corner, along, across]) => {
    const id = corner.replace(" ", "-");
    const shared = { ...plusMinus(15), corner };
    return [
      { kind: "mat corner along", id: `${id}-along`, required: along, ...shared } as const,
      { kind: "mat corner across", id: `${id}-across`, required: across, ...shared } as const,
    ];
  });

type FurtherChecks = Parameters<typeof lines>[1];

const step = (mat: Mat, further: FurtherChecks = []): ExampleSheet["steps"][number] => ({
  id: mat.id,
  title: mat.title,
  target: {
    name: mat.title.replace("Mat", "mat").replace("on the ", ""),
    kind: "floor mat",
    facing: "up",
    widthMm: mat.widthMm,
    heightMm: mat.heightMm,
  },
  checks: lines(4, [...corners(mat), ...further]),
});

const parallelTo = (axle: "front" | "rear") =>
  ({ kind: "parallel", id: "parallel", required: 0, ...plusMinus(0.5), axle }) as const;

const cross = { widthMm: 2400, heightMm: 1000 };
const long = { widthMm: 1000, heightMm: 4000 };

/** Invented. Four mats on the floor around the car for surround-view cameras. */
export const surroundMats: ExampleSheet = {
  ...inventedHead(4, "mats around the car"),
  vehicle: "Invented saloon",
  origin: { kind: "front-axle line" },
  axis: "geometric centreline",
  heightReference: "floor under the car",
  steps: [
    step({ id: "ahead", title: "Mat ahead", ...cross, aheadMm: 1750, leftMm: 1200 }, [
      parallelTo("front"),
      { kind: "floor flatness", id: "flatness", required: 0, ...atMost(12) },
    ]),
    step({ id: "behind", title: "Mat behind", ...cross, aheadMm: -3400, leftMm: 1200 }, [
      parallelTo("rear"),
    ]),
    step({ id: "left", title: "Mat on the left", ...long, aheadMm: 650, leftMm: 2200 }),
    step({ id: "right", title: "Mat on the right", ...long, aheadMm: 650, leftMm: -1200 }),
  ],
};
