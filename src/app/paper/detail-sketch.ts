import type { Result } from "../../job/result/result.ts";
import type { Sketch, SketchItem } from "../../record/paper/paper.ts";
import { rotate } from "../drawing/bay/view.ts";
import { ellipse95, ellipseOf, roundLength } from "../drawing/scale.ts";
import type { PaperWords } from "./paper-words.ts";

/** Differences that would read as nothing need no number. */
const nothingMm = 0.05;
/** A half axis smaller than this on paper cannot be seen as an ellipse. */
const leastDrawnMm = 0.35;

/**
 * Detail A: the reference point from above, magnified until the difference between where it must
 * stand and where it stands can be seen. It lies as the plan does: ahead is to the right, left is up.
 * The 95 % ellipse is to scale, or said to be too small to be drawn.
 */
export function detailSketch(
  result: Result,
  widthMm: number,
  heightMm: number,
  words: PaperWords,
): Sketch | null {
  const { requiredTarget, measuredTarget, targetPlanCovariance } = result.drawing;
  if (!requiredTarget || !measuredTarget) return null;
  const dx = measuredTarget.positionMm[0] - requiredTarget.positionMm[0];
  const dy = measuredTarget.positionMm[1] - requiredTarget.positionMm[1];
  const ellipse = targetPlanCovariance ? ellipseOf(targetPlanCovariance) : null;
  const reach = (ellipse?.major ?? 0) * ellipse95;
  const room = Math.max(1, Math.abs(dx) + reach, Math.abs(dy) + reach);
  const scale = Math.min(widthMm / 2 - 14, (heightMm - 8) / 2 - 6) / room;
  const at = (x: number, y: number): [number, number] => [
    widthMm / 2 + (x - dx / 2) * scale,
    (heightMm - 6) / 2 - (y - dy / 2) * scale,
  ];
  const [rx, ry] = at(0, 0);
  const [mx, my] = at(dx, dy);
  const face = (rotation: readonly number[], x: number, y: number): number[] => {
    const [ax, ay] = rotate(rotation, [1, 0, 0]);
    const length = Math.hypot(ax, ay) || 1;
    const [ux, uy] = [(ax / length) * widthMm, (-ay / length) * widthMm];
    return [x - ux, y - uy, x + ux, y + uy];
  };
  return {
    widthMm,
    heightMm,
    alt: words.t("drawing.detail"),
    items: [
      { kind: "line", points: face(requiredTarget.rotation, rx, ry), stroke: "required" },
      { kind: "line", points: face(measuredTarget.rotation, mx, my), stroke: "thin" },
      { kind: "line", points: [mx, my, mx, ry, rx, ry], stroke: "thin" },
      ...ellipseItems(ellipse, mx, my, scale, words, widthMm),
      { kind: "line", points: [rx - 1.6, ry, rx + 1.6, ry], stroke: "thick" },
      { kind: "line", points: [rx, ry - 1.6, rx, ry + 1.6], stroke: "thick" },
      {
        kind: "ellipse",
        x: mx,
        y: my,
        rx: 0.5,
        ry: 0.5,
        turnDeg: 0,
        stroke: "measured",
        fill: "accent",
      },
      ...differences(dx, dy, [mx, my], [rx, ry], words),
      ...scaleBar(room, scale, heightMm, words),
    ],
  };
}

function ellipseItems(
  ellipse: ReturnType<typeof ellipseOf> | null,
  x: number,
  y: number,
  scale: number,
  words: PaperWords,
  widthMm: number,
): SketchItem[] {
  if (!ellipse) return [];
  const [rx, ry] = [ellipse.major, ellipse.minor].map((sigma) => sigma * ellipse95 * scale);
  if (rx < leastDrawnMm) {
    return [
      {
        kind: "text",
        x: widthMm / 2,
        y: 2.2,
        words: words.t("record.ellipseSmall"),
        sizePt: 6,
        anchor: "middle",
      },
    ];
  }
  // The covariance turns from ahead towards left; on paper left is up, so the turn goes against y.
  const turnDeg = (-ellipse.turn * 180) / Math.PI;
  return [{ kind: "ellipse", x, y, rx, ry: Math.max(ry, 0.05), turnDeg, stroke: "measured" }];
}

function differences(
  dx: number,
  dy: number,
  [mx, my]: [number, number],
  [rx, ry]: [number, number],
  words: PaperWords,
): SketchItem[] {
  const text = (value: number, x: number, y: number, anchor: "start" | "middle"): SketchItem => ({
    kind: "text",
    x,
    y,
    words: words.showMeasured(Math.abs(value), "length", 1),
    sizePt: 7,
    anchor,
    bold: true,
  });
  return [
    ...(Math.abs(dx) >= nothingMm
      ? [text(dx, Math.max(mx, rx) + 1.2, ry + (my <= ry ? 3 : -1.4), "start")]
      : []),
    ...(Math.abs(dy) >= nothingMm
      ? [text(dy, mx + (mx >= rx ? 1.2 : -11), (my + ry) / 2 + 1, "start")]
      : []),
  ];
}

function scaleBar(room: number, scale: number, heightMm: number, words: PaperWords): SketchItem[] {
  const length = roundLength(room / 2, words.units.length);
  const px = length * scale;
  const y = heightMm - 1.4;
  return [
    { kind: "line", points: [0.5, y, 0.5 + px, y], stroke: "thick" },
    { kind: "line", points: [0.5, y - 1, 0.5, y + 1], stroke: "thick" },
    { kind: "line", points: [0.5 + px, y - 1, 0.5 + px, y + 1], stroke: "thick" },
    {
      kind: "text",
      x: px + 2,
      y: y + 0.8,
      words: words.showStated(length, "length"),
      sizePt: 6.5,
      anchor: "start",
    },
  ];
}
