import type { CheckResult } from "../../job/result/result.ts";
import type { Sketch, SketchItem } from "../../record/paper/paper.ts";
import { rangeOf } from "../drawing/scale.ts";
import { checkDecimals, positiveIsLeft, quantityOf, sidesOf, valueWords } from "../i18n/words.ts";
import type { PaperWords } from "./paper-words.ts";

const widthMm = 72;
const axisY = 4.6;
const half = 3.1;
const labelPt = 6.5;
/** Mean width of a letter, mm, for keeping labels apart. */
const letterMm = labelPt * 0.2;

/** A check as a point with its interval on a number line that carries the tolerance band. */
export function numberLineSketch(check: CheckResult, words: PaperWords): Sketch {
  const { lower, upper, required, measured, expandedUncertainty } = check;
  const flip = positiveIsLeft(check.quantity);
  const range = rangeOf(
    [
      lower ?? Number.NaN,
      upper ?? Number.NaN,
      required,
      measured - expandedUncertainty,
      measured + expandedUncertainty,
    ],
    0.12,
  );
  const x = (value: number): number => {
    const share = (value - range.low) / (range.high - range.low);
    return 2 + (flip ? 1 - share : share) * (widthMm - 4);
  };
  const [low, high] = flip ? [upper, lower] : [lower, upper];
  const left = low === null ? 0 : x(low);
  const right = high === null ? widthMm : x(high);
  const sides = sidesOf(check.quantity, words.t);
  const stated = (value: number): string =>
    words.showStated(sides ? Math.abs(value) : value, quantityOf(check));
  const [from, to] = [x(measured - expandedUncertainty), x(measured + expandedUncertainty)];
  const at = x(measured);
  const labels = spread([
    ...(low === null ? [] : [{ at: left, text: stated(low), bold: false }]),
    { at: x(required), text: stated(required), bold: true },
    ...(high === null ? [] : [{ at: right, text: stated(high), bold: false }]),
  ]);
  const limit = (value: number): SketchItem => ({
    kind: "line",
    points: [value, axisY - 4, value, axisY + 4],
    stroke: "limit",
  });
  return {
    widthMm,
    heightMm: sides ? 14.5 : 12,
    alt: valueWords(check, measured, checkDecimals(check), words.t, words.showMeasured),
    items: [
      { kind: "shape", fill: "wash", points: box(left, axisY - half, right, axisY + half) },
      ...hatch(left, right),
      ...(low === null ? [] : [limit(left)]),
      ...(high === null ? [] : [limit(right)]),
      { kind: "line", points: [0.5, axisY, widthMm - 0.5, axisY], stroke: "thin" },
      { kind: "line", points: [x(required), axisY - 4, x(required), axisY + 4], stroke: "centre" },
      { kind: "line", points: [from, axisY, to, axisY], stroke: "interval" },
      ...[from, to].map(
        (end): SketchItem => ({
          kind: "line",
          points: [end, axisY - 1.5, end, axisY + 1.5],
          stroke: "interval",
        }),
      ),
      {
        kind: "ellipse",
        x: at,
        y: axisY,
        rx: 1,
        ry: 1,
        turnDeg: 0,
        stroke: "measured",
        fill: "accent",
      },
      ...labels.map(
        (label): SketchItem => ({
          kind: "text",
          x: label.at,
          y: axisY + 6.6,
          words: label.text,
          sizePt: labelPt,
          anchor: "middle",
          bold: label.bold,
        }),
      ),
      ...(sides
        ? sideWords(flip ? sides.positive : sides.negative, flip ? sides.negative : sides.positive)
        : []),
    ],
  };
}

const box = (left: number, top: number, right: number, bottom: number): number[] => [
  left,
  top,
  right,
  top,
  right,
  bottom,
  left,
  bottom,
];

/** Thin slanted lines inside the tolerance band: readable without colour. */
function hatch(left: number, right: number): SketchItem[] {
  const items: SketchItem[] = [];
  const top = axisY - half;
  const height = 2 * half;
  for (let at = left + 1.2; at < right + height; at += 2) {
    const x0 = Math.min(at, right);
    const x1 = Math.max(at - height, left);
    if (x1 < right && x0 > left) {
      items.push({
        kind: "line",
        points: [x0, top + (at - x0), x1, top + (at - x1)],
        stroke: "hatch",
      });
    }
  }
  return items;
}

/** Which way the sides lie, with a small arrow each. */
const sideWords = (left: string, right: string): SketchItem[] => {
  const y = axisY + 9.4;
  const end = widthMm - 0.5;
  return [
    ...arrow(0.5, y - 0.8, 1),
    { kind: "text", x: 4.5, y, words: left, sizePt: 6, anchor: "start" },
    ...arrow(end, y - 0.8, -1),
    { kind: "text", x: end - 4, y, words: right, sizePt: 6, anchor: "end" },
  ];
};

/** An arrow whose tip is at x, y; its shaft runs `inwards`. */
const arrow = (x: number, y: number, inwards: 1 | -1): SketchItem[] => [
  { kind: "line", points: [x, y, x + 3 * inwards, y], stroke: "thin" },
  {
    kind: "line",
    points: [x + inwards, y - 0.6, x, y, x + inwards, y + 0.6],
    stroke: "thin",
  },
];

interface Label {
  readonly at: number;
  readonly text: string;
  readonly bold: boolean;
}

const widthOf = ({ text }: Label): number => text.length * letterMm + 2;

/** Moves labels apart from left to right, then back inside; drops what has no room. */
function spread(labels: readonly Label[]): Label[] {
  const needed = labels.reduce((sum, label) => sum + widthOf(label), 0);
  const kept = needed > widthMm ? labels.filter(({ bold }) => bold) : labels;
  const placed: Label[] = [];
  let free = 0;
  for (const label of kept) {
    const at = Math.max(label.at, free + widthOf(label) / 2);
    placed.push({ ...label, at });
    free = at + widthOf(label) / 2;
  }
  let end = widthMm;
  for (let i = placed.length - 1; i >= 0; i--) {
    const room = widthOf(placed[i]) / 2;
    placed[i] = { ...placed[i], at: Math.min(placed[i].at, end - room) };
    end = placed[i].at - room;
  }
  return placed;
}
