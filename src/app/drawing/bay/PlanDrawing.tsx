import type { PhotoPlan } from "../../../plan/plan-types.ts";
import { useApp } from "../../context/app-context.ts";
import { useWidth } from "../use-width.ts";
import { boardCorners, bodyOutline, wheelCorners } from "./bay-geometry.ts";
import { onPaper, type Point, rotate, type View } from "./view.ts";

/** How far from its place a shot's look is drawn, mm, and how wide, as a share of that. */
const lookMm = 620;
const lookWide = 0.55;
const ballPx = 13;
/** Room around everything, mm, and the highest drawing, px. */
const roomMm = 450;
const highestPx = 520;

/** The bay from above, the car's front to the right, with numbered places to photograph from. */
export function PlanDrawing({ plan }: { readonly plan: PhotoPlan }) {
  const { t } = useApp();
  const { ref, width } = useWidth<HTMLDivElement>();
  const view = viewOf(plan, width);
  const line = (points: readonly Point[]): string =>
    `M${points
      .map((point) =>
        view
          .at(point)
          .map((v) => v.toFixed(1))
          .join(" "),
      )
      .join("L")}`;
  const drawing = carOf(plan);
  const nose = view.at([drawing.frontAxleMm[0] + 820, 0, 0]);
  const seen = new Map(plan.boards.map((board) => [board.key, board.seen]));
  return (
    <div className="bay-paper" ref={ref}>
      <svg
        width={view.width}
        height={view.height}
        viewBox={`0 0 ${view.width} ${view.height}`}
        role="img"
        aria-label={t("plan.drawing", { count: plan.shots.length })}
        data-testid="plan-drawing"
      >
        <path className="phantom" d={`${line(bodyOutline({ drawing }, "plan"))}Z`} />
        <text className="drawing-small halo" x={nose[0] + 5} y={nose[1] + 4}>
          {t("sheet.front")}
        </text>
        {drawing.wheels.map((wheel) => (
          <path
            key={wheel.centreMm.join(" ")}
            className="visible tyre"
            d={`${line(wheelCorners(wheel))}Z`}
          />
        ))}
        {plan.bay.obstacles
          .filter(({ name }) => name === "stand")
          .map(({ pose, half }) => (
            <path
              key="stand"
              className="required-target"
              d={line([-1, 1].map((end) => along(pose, end * half[0])))}
            />
          ))}
        {plan.bay.boards.map(({ key, cellMm, pose }) => {
          const placed = { cellMm, pose: { positionMm: [...pose.t], rotation: [...pose.R] } };
          const [x, y] = view.at(pose.t);
          return (
            <g key={key}>
              <path
                className={
                  (seen.get(key) ?? 0) > 0 || plan.taken === 0 ? "board" : "board plan-unseen"
                }
                d={`${line(boardCorners(placed))}Z`}
              />
              <text className="drawing-small halo" x={x + 6} y={y - 5}>
                {key}
              </text>
            </g>
          );
        })}
        {plan.shots.map((shot) => {
          const [x, y] = view.at([...shot.at, 0]);
          const first = shot.number === 1 && plan.taken > 0;
          return (
            <g key={shot.number} data-testid="plan-place">
              <path className="plan-look" d={`${line(lookOf(shot))}Z`} />
              <circle
                className={first ? "plan-ball plan-ball-now" : "plan-ball"}
                cx={x}
                cy={y}
                r={ballPx}
              />
              <text
                className={first ? "plan-number plan-number-now" : "plan-number"}
                x={x}
                y={y + 5}
                textAnchor="middle"
              >
                {shot.number}
              </text>
            </g>
          );
        })}
      </svg>
    </div>
  );
}

type Shot = PhotoPlan["shots"][number];

/** The look of a shot as a narrow triangle. */
function lookOf({ at, yawDeg }: Shot): Point[] {
  const yaw = (yawDeg * Math.PI) / 180;
  const [c, s] = [Math.cos(yaw) * lookMm, Math.sin(yaw) * lookMm];
  return [
    [at[0], at[1], 0],
    [at[0] + c - lookWide * s, at[1] + s + lookWide * c, 0],
    [at[0] + c + lookWide * s, at[1] + s - lookWide * c, 0],
  ];
}

type Pose = PhotoPlan["bay"]["boards"][number]["pose"];

const along = ({ R, t }: Pose, x: number): Point => {
  const [dx, dy] = rotate(R, [x, 0, 0]);
  return [t[0] + dx, t[1] + dy, 0];
};

/** Axles and wheels in the words of the bay's drawing. */
function carOf({ bay }: PhotoPlan) {
  const wheels = bay.landmarks.filter(({ name }) => name !== "stand");
  const mean = (end: string): number[] => {
    const two = wheels.filter(({ name }) => name.startsWith(end)).map(({ at }) => at);
    return [(two[0][0] + two[1][0]) / 2, (two[0][1] + two[1][1]) / 2, 0];
  };
  return {
    frontAxleMm: mean("front"),
    rearAxleMm: mean("rear"),
    wheels: wheels.map(({ at }) => ({
      id: 0,
      label: "",
      centreMm: [at[0], at[1], 0],
      axisMm: [0, at[1] > 0 ? 1 : -1, 0],
    })),
  };
}

function viewOf(plan: PhotoPlan, width: number): View {
  const points = [
    ...plan.bay.boards.map(({ pose }) => pose.t),
    ...plan.shots.map(({ at }) => [...at, 0]),
    ...plan.bay.obstacles.flatMap(({ pose: { t }, half }) => [
      [t[0] - half[0], t[1] - half[1], 0],
      [t[0] + half[0], t[1] + half[1], 0],
    ]),
  ].map((point) => onPaper(point, "plan on its side"));
  const xs = points.map(([x]) => x);
  const ys = points.map(([, y]) => y);
  const [left, top] = [Math.min(...xs) - roomMm, Math.min(...ys) - roomMm];
  const [spanX, spanY] = [Math.max(...xs) + roomMm - left, Math.max(...ys) + roomMm - top];
  const scale = Math.min(width / spanX, highestPx / spanY);
  return {
    side: "plan",
    scale,
    width,
    height: Math.ceil(spanY * scale),
    at: (point) => {
      const [x, y] = onPaper(point, "plan on its side");
      return [(x - left) * scale + (width - spanX * scale) / 2, (y - top) * scale];
    },
  };
}
