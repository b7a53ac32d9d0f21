import type { Result } from "../../../job/result/result.ts";
import { useApp } from "../../context/app-context.ts";
import {
  boardCorners,
  bodyOutline,
  noseOf,
  requiredDistance,
  targetCorners,
  thrustEnds,
  wheelCorners,
} from "./bay-geometry.ts";
import {
  type Box,
  boxAround,
  boxesAlong,
  type LabelWish,
  placeLabels,
  type Spot,
  spotsAround,
} from "./place-labels.ts";
import type { Point, View } from "./view.ts";

const small = 13;
const large = 15;

/** Names of the target, the thrust line and the floor boards, each where there is room for it. */
export function BayLabels({ result, view }: { readonly result: Result; readonly view: View }) {
  const { t, showStated } = useApp();
  const target = [
    ...frontWish(result, view, t("sheet.front")),
    ...distanceWish(result, view, (mm) => showStated(mm, "length")),
    ...targetWish(result, view, t("drawing.target")),
  ];
  const wishes =
    view.side === "side"
      ? target
      : [
          ...target,
          ...thrustWish(result, view, t("drawing.thrustLine")),
          ...boardWishes(result, view),
        ];
  const paper = { left: 2, top: 2, right: view.width - 2, bottom: view.height - 2 };
  return (
    <>
      {placeLabels(wishes, takenBy(result, view), paper).map((label) => (
        <text
          key={label.key}
          className={`${label.fontPx === small ? "drawing-small" : "drawing-text"} halo`}
          data-testid="drawing-label"
          x={label.x}
          y={label.y}
          textAnchor={label.anchor}
        >
          {label.text}
        </text>
      ))}
    </>
  );
}

/** Before or behind the middle of the body's front. */
function frontWish(result: Result, view: View, text: string): LabelWish[] {
  const [x, y] = view.at(noseOf(result, view.side));
  const spots = [5, 16, 28].flatMap((gap): Spot[] => [
    { x: x + 5, y: y - gap, anchor: "start" },
    { x: x + 5, y: y + gap + 9, anchor: "start" },
    { x: x - 5, y: y - gap, anchor: "end" },
    { x: x - 5, y: y + gap + 9, anchor: "end" },
  ]);
  return [{ key: "front", text, fontPx: small, spots }];
}

/** Under or over the dimension line, at its middle or off it. */
function distanceWish(result: Result, view: View, say: (mm: number) => string): LabelWish[] {
  const dimension = view.side === "plan" ? requiredDistance(result) : null;
  if (!dimension) {
    return [];
  }
  const [[x0, y], [x1]] = dimension.ends.map(view.at);
  const spots = [0.5, 0.3, 0.7, 0.15, 0.85].flatMap((share): Spot[] => {
    const x = x0 + share * (x1 - x0);
    return [
      { x, y: y + 15, anchor: "middle" },
      { x, y: y - 6, anchor: "middle" },
    ];
  });
  return [{ key: "distance", text: say(dimension.valueMm), fontPx: small, spots }];
}

function targetWish({ drawing }: Result, view: View, text: string): LabelWish[] {
  const shown = [drawing.measuredTarget, drawing.requiredTarget].flatMap((item) => item ?? []);
  if (shown.length === 0) {
    return [];
  }
  const points = shown.flatMap((item) => targetCorners(item, drawing.targetSizeMm).map(view.at));
  const box = boxAround(points);
  const spots = [9, 22].flatMap((gap) => {
    const [right, left, above, below] = spotsAround(box, large, gap);
    return [above, right, left, below];
  });
  return [{ key: "target", text, fontPx: large, spots }];
}

/** Beside the thrust line, at the share of its length where there is most room. */
function thrustWish(result: Result, view: View, text: string): LabelWish[] {
  const [from, to] = thrustEnds(result).map(view.at);
  if (!from || !to) return [];
  const upright = Math.abs(to[1] - from[1]) > Math.abs(to[0] - from[0]);
  const spots = [0.8, 0.72, 0.88, 0.62, 0.5, 0.38, 0.25].flatMap((share): Spot[] => {
    const x = from[0] + share * (to[0] - from[0]);
    const y = from[1] + share * (to[1] - from[1]);
    return upright
      ? [
          { x: x + 8, y: y + 4, anchor: "start" },
          { x: x - 8, y: y + 4, anchor: "end" },
        ]
      : [
          { x, y: y - 7, anchor: "middle" },
          { x, y: y + 16, anchor: "middle" },
        ];
  });
  return [{ key: "thrust", text, fontPx: small, spots }];
}

function boardWishes(result: Result, view: View): LabelWish[] {
  return result.boards
    .filter((board) => board.id >= 11 && board.id <= 29)
    .map((board) => ({
      key: board.key,
      text: String(board.id),
      fontPx: small,
      spots: [4, 13, 24].flatMap((gap) =>
        spotsAround(boxAround(boardCorners(board).map(view.at)), small, gap),
      ),
    }));
}

/** Everything that a word would hide or be hard to read on. */
function takenBy(result: Result, view: View): Box[] {
  const { drawing, boards } = result;
  const around = (corners: readonly Point[]): Box => boxAround(corners.map(view.at));
  const along = (points: readonly Point[]): Box[] =>
    points.slice(1).flatMap((point, index) => boxesAlong(view.at(points[index]), view.at(point)));
  const targets = [drawing.measuredTarget, drawing.requiredTarget].flatMap((item) => item ?? []);
  const outline = bodyOutline(result, view.side);
  const scaleBar = {
    left: 0,
    top: view.height - 26,
    right: view.width * 0.3 + 90,
    bottom: view.height,
  };
  return [
    scaleBar,
    ...boards.map((board) => grown(around(boardCorners(board)), 3)),
    ...targets.flatMap((item) => along(targetCorners(item, drawing.targetSizeMm))),
    ...along([...outline, outline[0]]),
    ...(view.side === "plan"
      ? [
          ...along(requiredDistance(result)?.ends ?? []),
          ...drawing.wheels.map((wheel) => around(wheelCorners(wheel))),
          ...along(thrustEnds(result)),
          ...[drawing.frontAxleMm, drawing.rearAxleMm].flatMap((at) =>
            along([
              [at[0], at[1] + 1050, 0],
              [at[0], at[1] - 1050, 0],
            ]),
          ),
        ]
      : []),
  ];
}

/** A little more than a box, so that words do not touch it. */
const grown = ({ left, top, right, bottom }: Box, by: number): Box => ({
  left: left - by,
  top: top - by,
  right: right + by,
  bottom: bottom + by,
});
