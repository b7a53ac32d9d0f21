import type { Result } from "../../job/result/result.ts";
import type { Sketch, SketchItem, Stroke } from "../../record/paper/paper.ts";
import {
  boardCorners,
  bodyOutline,
  reachOf,
  targetCorners,
  thrustEnds,
  tyreRadius,
  wheelCorners,
} from "../drawing/bay/bay-geometry.ts";
import { placeLabels, spotsAround } from "../drawing/bay/place-labels.ts";
import { boundsOf, onPaper, type Point, type Projection } from "../drawing/bay/view.ts";
import { roundLength } from "../drawing/scale.ts";
import type { PaperWords } from "./paper-words.ts";

/**
 * The bay to scale, from above and from the vehicle's right. Both lie the same way: ahead is to the
 * right of the paper, so that one can be held under the other.
 */
export type BaySide = "plan" | "side";

const sideViewHeight = 20;
const labelPt = 6;
const pointsToMm = 25.4 / 72;

/** Millimetres on paper per millimetre in the bay, so that both views share one scale. */
function scaleFor(result: Result, widthMm: number, mostHeightMm: number): number {
  const plan = boundsOf(result, "plan on its side");
  return Math.min(
    widthMm / (plan.right - plan.left),
    (mostHeightMm - sideViewHeight / 4) / (plan.bottom - plan.top),
  );
}

export function baySketch(
  result: Result,
  side: BaySide,
  widthMm: number,
  mostHeightMm: number,
  words: PaperWords,
): Sketch {
  const projection: Projection = side === "plan" ? "plan on its side" : "side";
  const bounds = boundsOf(result, projection);
  const wide = boundsOf(result, "plan on its side");
  const scale = scaleFor(result, widthMm, mostHeightMm);
  // Both views begin at the same place of the car.
  const indent = (widthMm - (wide.right - wide.left) * scale) / 2;
  const heightMm = (bounds.bottom - bounds.top) * scale + 6;
  const at = (point: Point): [number, number] => {
    const [x, y] = onPaper(point, projection);
    return [indent + (x - wide.left) * scale, (y - bounds.top) * scale];
  };
  const line = (points: readonly Point[], stroke: Stroke, closed = false): SketchItem => ({
    kind: "line",
    points: points.flatMap(at),
    stroke,
    closed,
  });
  const items = [
    line(bodyOutline(result, side), "phantom", true),
    ...(side === "side"
      ? [
          line(
            [
              [result.drawing.rearAxleMm[0] - 900, 0, 0],
              [reachOf(result.drawing) + 200, 0, 0],
            ],
            "thick",
          ),
        ]
      : []),
    ...wheels(result, side, at, scale, line),
    ...result.boards.map((board) => line(boardCorners(board), "thin", true)),
    ...axes(result, side, line),
    ...targets(result, side, line),
  ];
  return {
    widthMm,
    heightMm,
    alt: words.t(side === "plan" ? "drawing.planHeard" : "drawing.sideHeard"),
    items: [
      ...items,
      ...boardNumbers(result, at, widthMm, heightMm),
      ...scaleBar(scale, heightMm, words),
    ],
  };
}

type Draw = (points: readonly Point[], stroke: Stroke, closed?: boolean) => SketchItem;

function wheels(
  { drawing }: Result,
  side: BaySide,
  at: (point: Point) => [number, number],
  scale: number,
  line: Draw,
): SketchItem[] {
  if (side === "plan")
    return drawing.wheels.map((wheel) => line(wheelCorners(wheel), "thick", true));
  return drawing.wheels
    .filter(({ centreMm }) => centreMm[1] < 0)
    .map(({ centreMm }) => {
      const [x, y] = at(centreMm);
      const r = tyreRadius * scale;
      return { kind: "ellipse", x, y, rx: r, ry: r, turnDeg: 0, stroke: "thick" };
    });
}

function axes(result: Result, side: BaySide, line: Draw): SketchItem[] {
  const { frontAxleMm: front, rearAxleMm: rear } = result.drawing;
  if (side === "side") {
    return [front, rear].map((axle) =>
      line(
        [
          [axle[0], 0, axle[2] + 500],
          [axle[0], 0, -60],
        ],
        "centre",
      ),
    );
  }
  const thrust = thrustEnds(result);
  return [
    ...[front, rear].map((axle) =>
      line(
        [
          [axle[0], axle[1] + 1050, 0],
          [axle[0], axle[1] - 1050, 0],
        ],
        "centre",
      ),
    ),
    line(
      [
        [rear[0] - 500, 0, 0],
        [reachOf(result.drawing) + 200, 0, 0],
      ],
      "centre",
    ),
    ...(thrust.length > 0 ? [line(thrust, "thin")] : []),
  ];
}

function targets({ drawing }: Result, side: BaySide, line: Draw): SketchItem[] {
  const { requiredTarget, measuredTarget, targetSizeMm } = drawing;
  return [
    ...(requiredTarget
      ? [line(targetCorners(requiredTarget, targetSizeMm), "required", true)]
      : []),
    ...(measuredTarget
      ? [line(targetCorners(measuredTarget, targetSizeMm), "measured", true)]
      : []),
    ...(measuredTarget && side === "side"
      ? [line([measuredTarget.positionMm, [measuredTarget.positionMm[0], 0, 0]], "thin")]
      : []),
  ];
}

/** Numbers of the boards beside them, none on another. */
function boardNumbers(
  result: Result,
  at: (point: Point) => [number, number],
  widthMm: number,
  heightMm: number,
): SketchItem[] {
  const size = labelPt * pointsToMm;
  const boxes = result.boards.map((board) => {
    const points = boardCorners(board).map(at);
    const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
    return {
      left: Math.min(...xs),
      right: Math.max(...xs),
      top: Math.min(...ys),
      bottom: Math.max(...ys),
    };
  });
  const placed = placeLabels(
    result.boards.map((board, i) => ({
      key: board.key,
      text: String(board.id),
      fontPx: size,
      spots: spotsAround(boxes[i], size, 0.6),
    })),
    boxes,
    { left: 0, top: 0, right: widthMm, bottom: heightMm - 5 },
  );
  return placed.map(({ x, y, anchor, text }) => ({
    kind: "text",
    x,
    y,
    anchor,
    words: text,
    sizePt: labelPt,
  }));
}

function scaleBar(scale: number, heightMm: number, words: PaperWords): SketchItem[] {
  const length = roundLength(40 / scale, words.units.length);
  const px = length * scale;
  const y = heightMm - 1.6;
  return [
    { kind: "line", points: [0.5, y, 0.5 + px, y], stroke: "thick" },
    { kind: "line", points: [0.5, y - 1, 0.5, y + 1], stroke: "thick" },
    { kind: "line", points: [0.5 + px, y - 1, 0.5 + px, y + 1], stroke: "thick" },
    {
      kind: "text",
      x: px + 2,
      y: y + 0.8,
      words: words.showStated(length, "length"),
      sizePt: labelPt + 0.5,
      anchor: "start",
    },
  ];
}
