import type { Move } from "../../job/result/result.ts";
import { useApp } from "../context/app-context.ts";
import { wayOf } from "../i18n/words.ts";
import { MoveDrawing } from "./MoveDrawing.tsx";

interface StandDrawingProps {
  readonly move: Move;
  /** True where the target stands behind the car. */
  readonly behind: boolean;
}

const size = { width: 320, height: 190 } as const;
const middle = { x: 190, y: 95 } as const;
/** Half the width of the drawn stand, and the length of its arrows. */
const halfStand = 62;
const arrowPx = 54;

type Direction = readonly [x: number, y: number];

/** Ways on paper, seen from above with the car's front to the right. */
function directionOf(way: string, behind: boolean): Direction | null {
  const towards: Direction = behind ? [1, 0] : [-1, 0];
  switch (way) {
    case "towards the car":
      return towards;
    case "away from the car":
      return [-towards[0], 0];
    case "forward":
      return [1, 0];
    case "rearward":
      return [-1, 0];
    case "left":
      return [0, -1];
    case "right":
      return [0, 1];
    default:
      return null;
  }
}

/** The stand from above with an arrow at each foot or end that moves; other moves as their arrow. */
export function StandDrawing({ move, behind }: StandDrawingProps) {
  const { t } = useApp();
  const arrows = arrowsOf(move, behind);
  if (arrows.length === 0) {
    return <MoveDrawing move={move} />;
  }
  return (
    <svg
      className="stand-drawing"
      viewBox={`0 0 ${size.width} ${size.height}`}
      aria-hidden="true"
      focusable="false"
    >
      <g transform={behind ? `translate(${size.width} 0) scale(-1 1)` : undefined}>
        <path className="phantom" d="M0 36h46q14 10 16 59q-2 49-16 59H0" />
        <path className="centre" d="M0 95H312" />
        <path className="visible" d={`M${middle.x} ${middle.y - halfStand}v${2 * halfStand}`} />
      </g>
      <text
        x={behind ? size.width - 6 : 6}
        y={24}
        textAnchor={behind ? "end" : "start"}
        className="sheet-drawing-word"
      >
        {t("drawing.car")}
      </text>
      {arrows.map(({ x, y, to }) => (
        <g key={`${x} ${y} ${to}`}>
          <circle className="stand-foot" cx={x} cy={y} r={6} />
          <path className="stand-arrow" d={arrowPath(x, y, to)} />
        </g>
      ))}
    </svg>
  );
}

interface Arrow {
  readonly x: number;
  readonly y: number;
  readonly to: Direction;
}

function arrowsOf(move: Move, behind: boolean): Arrow[] {
  const x = behind ? size.width - middle.x : middle.x;
  if (move.kind === "slide") {
    const to = directionOf(wayOf(move), behind);
    return to ? [-0.6, 0.6].map((part) => ({ x, y: middle.y + part * halfStand, to })) : [];
  }
  if (move.kind !== "turn") {
    return [];
  }
  const feet = (move.feet ?? []).filter(({ placeMm }) => placeMm !== undefined);
  const reach = Math.max(1, ...feet.flatMap(({ placeMm = [0, 0] }) => placeMm.map(Math.abs)));
  return feet.flatMap(({ parts, placeMm = [0, 0] }) => {
    const [largest] = [...parts].sort((a, b) => b.amountMm - a.amountMm);
    const to = largest ? directionOf(largest.way, behind) : null;
    const scale = halfStand / reach;
    return to ? [{ x: x + scale * placeMm[0], y: middle.y - scale * placeMm[1], to }] : [];
  });
}

function arrowPath(x: number, y: number, [dx, dy]: Direction): string {
  const [ex, ey] = [x + arrowPx * dx, y + arrowPx * dy];
  const barb = (side: 1 | -1) =>
    `M${ex} ${ey}l${-14 * dx - 10 * side * dy} ${-14 * dy - 10 * side * dx}`;
  return `M${x} ${y}L${ex} ${ey}${barb(1)}${barb(-1)}`;
}
