import type { Result } from "../../../job/result/result.ts";
import { useApp } from "../../context/app-context.ts";
import { roundLength } from "../scale.ts";
import { BayLabels } from "./BayLabels.tsx";
import {
  boardCorners,
  bodyOutline,
  reachOf,
  requiredDistance,
  targetCorners,
  thrustEnds,
  tyreRadius,
  wheelCorners,
} from "./bay-geometry.ts";
import type { View } from "./view.ts";

interface ShapeProps {
  readonly result: Result;
  readonly view: View;
}

const line = (view: View, ...points: readonly (readonly number[])[]): string =>
  points
    .map((point, index) => {
      const [x, y] = view.at(point);
      return `${index === 0 ? "M" : "L"}${x.toFixed(1)} ${y.toFixed(1)}`;
    })
    .join("");

/** Floor, car, lines, boards, target: drawn from the ground up. */
export function Bay({ result, view }: ShapeProps) {
  return (
    <>
      {view.side === "side" ? <Ground view={view} /> : null}
      <Body result={result} view={view} />
      <Wheels result={result} view={view} />
      <Boards result={result} view={view} />
      <Lines result={result} view={view} />
      <Targets result={result} view={view} />
      <ScaleBar view={view} />
      <BayLabels result={result} view={view} />
    </>
  );
}

function Ground({ view }: { readonly view: View }) {
  const y = view.at([0, 0, 0])[1];
  const ticks: string[] = [];
  for (let x = 8; x < view.width; x += 14) {
    ticks.push(`M${x} ${y}l-7 8`);
  }
  return (
    <>
      <path className="visible" d={`M0 ${y}H${view.width}`} />
      <path className="hatch" d={ticks.join("")} />
    </>
  );
}

function Body({ result, view }: ShapeProps) {
  return <path className="phantom" d={`${line(view, ...bodyOutline(result, view.side))}Z`} />;
}

function Wheels({ result, view }: ShapeProps) {
  return (
    <>
      {result.drawing.wheels.map((wheel) => {
        const [x, y] = view.at(wheel.centreMm);
        if (view.side === "side") {
          return (
            <g key={wheel.id}>
              <circle className="visible" cx={x} cy={y} r={tyreRadius * view.scale} />
              <path className="fine" d={`M${x - 6} ${y}h12M${x} ${y - 6}v12`} />
            </g>
          );
        }
        const corners = line(view, ...wheelCorners(wheel));
        return <path key={wheel.id} className="visible tyre" d={`${corners}Z`} />;
      })}
    </>
  );
}

function Boards({ result, view }: ShapeProps) {
  return (
    <>
      {result.boards.map((board) => (
        <path key={board.key} className="board" d={`${line(view, ...boardCorners(board))}Z`} />
      ))}
    </>
  );
}

/** Axle lines and centreline (long dash, short dash), thrust line (long dash, two short). */
function Lines({ result, view }: ShapeProps) {
  const { drawing } = result;
  if (view.side === "side") {
    const z = drawing.frontAxleMm[2];
    return (
      <>
        <path
          className="centre"
          d={line(view, [drawing.frontAxleMm[0], 0, z + 500], [drawing.frontAxleMm[0], 0, -60])}
        />
        <path
          className="centre"
          d={line(view, [drawing.rearAxleMm[0], 0, z + 500], [drawing.rearAxleMm[0], 0, -60])}
        />
      </>
    );
  }
  const axle = (at: readonly number[]) =>
    line(view, [at[0], at[1] + 1050, 0], [at[0], at[1] - 1050, 0]);
  const rear = drawing.rearAxleMm;
  const thrust = thrustEnds(result);
  return (
    <>
      <path className="centre" d={axle(drawing.frontAxleMm)} />
      <path className="centre" d={axle(rear)} />
      <path
        className="centre"
        d={line(view, [rear[0] - 500, 0, 0], [reachOf(drawing) + 200, 0, 0])}
      />
      {thrust.length > 0 && <path className="thrust" d={line(view, ...thrust)} />}
      <RequiredDistance result={result} view={view} />
    </>
  );
}

/** From the front axle to where the target must stand, as the dimension of a drawing. */
function RequiredDistance({ result, view }: ShapeProps) {
  const dimension = requiredDistance(result);
  if (!dimension) {
    return null;
  }
  const [[x0, y], [x1]] = dimension.ends.map(view.at);
  return <path className="fine" d={`M${x0} ${y}H${x1}M${x0} ${y - 4}v8M${x1} ${y - 4}v8`} />;
}

function Targets({ result, view }: ShapeProps) {
  const { requiredTarget, measuredTarget, targetSizeMm } = result.drawing;
  const outline = (target: NonNullable<Result["drawing"]["measuredTarget"]>): string =>
    `${line(view, ...targetCorners(target, targetSizeMm))}Z`;
  return (
    <>
      {requiredTarget ? <path className="required-target" d={outline(requiredTarget)} /> : null}
      {measuredTarget ? <path className="measured-target" d={outline(measuredTarget)} /> : null}
      {measuredTarget && view.side === "side" ? (
        <path
          className="fine"
          d={line(view, measuredTarget.positionMm, [measuredTarget.positionMm[0], 0, 0])}
        />
      ) : null}
    </>
  );
}

function ScaleBar({ view }: { readonly view: View }) {
  const { showStated, units } = useApp();
  const length = roundLength((view.width * 0.3) / view.scale, units.length);
  const px = length * view.scale;
  const x = 14;
  const y = view.height - 14;
  return (
    <g>
      <path className="fine-strong" d={`M${x} ${y}h${px}M${x} ${y - 4}v8M${x + px} ${y - 4}v8`} />
      <text className="drawing-small halo" x={x + px + 7} y={y + 4}>
        {showStated(length, "length")}
      </text>
    </g>
  );
}
