import type { Result } from "../../job/result.ts";
import { useApp } from "../app-context.ts";
import { roundStep } from "./scale.ts";
import { plus, rotate, type View } from "./view.ts";

const tyreRadius = 315;
const tyreWidth = 205;

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

/** A generic outline: the tool does not know the body, so it is thin and says so by its dashes. */
function Body({ result, view }: ShapeProps) {
  const front = result.drawing.frontAxleMm[0];
  const rear = result.drawing.rearAxleMm[0];
  const outline =
    view.side === "plan"
      ? [
          [front + 820, 520],
          [front + 640, 800],
          [front - 300, 860],
          [rear - 100, 860],
          [rear - 620, 800],
          [rear - 720, 560],
          [rear - 720, -560],
          [rear - 620, -800],
          [rear - 100, -860],
          [front - 300, -860],
          [front + 640, -800],
          [front + 820, -520],
        ].map(([x, y]) => [x, y, 0])
      : [
          [front + 820, 330],
          [front + 780, 640],
          [front + 420, 820],
          [front - 420, 960],
          [front - 1080, 1430],
          [rear + 200, 1470],
          [rear - 480, 1200],
          [rear - 700, 900],
          [rear - 690, 330],
        ].map(([x, z]) => [x, 0, z]);
  return <path className="phantom" d={`${line(view, ...outline)}Z`} />;
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
        const inward = wheel.centreMm[1] > 0 ? -1 : 1;
        const across = wheel.axisMm[1] * inward > 0 ? wheel.axisMm : wheel.axisMm.map((v) => -v);
        const ahead = [across[1] * inward, -across[0] * inward, 0];
        const corners = [
          [1, 0],
          [1, 1],
          [-1, 1],
          [-1, 0],
        ].map(([a, b]) =>
          plus(plus(wheel.centreMm, ahead, a * tyreRadius), across, (b - 0.5) * tyreWidth),
        );
        return <path key={wheel.id} className="visible tyre" d={`${line(view, ...corners)}Z`} />;
      })}
    </>
  );
}

function Boards({ result, view }: ShapeProps) {
  return (
    <>
      {result.boards.map((board) => {
        const half = board.cellMm * 7;
        const corners = [
          [half, half, 0],
          [half, -half, 0],
          [-half, -half, 0],
          [-half, half, 0],
        ].map((corner) => plus(board.pose.positionMm, rotate(board.pose.rotation, corner)));
        const [x, y] = view.at(board.pose.positionMm);
        const floor = board.id >= 11 && board.id <= 29;
        return (
          <g key={board.key}>
            <path className="board" d={`${line(view, ...corners)}Z`} />
            {floor && view.side === "plan" ? (
              <text className="drawing-small" x={x + half * view.scale + 4} y={y + 4}>
                {board.id}
              </text>
            ) : null}
          </g>
        );
      })}
    </>
  );
}

/** Axle lines and centreline (long dash, short dash), thrust line (long dash, two short). */
function Lines({ result, view }: ShapeProps) {
  const { t } = useApp();
  const { drawing } = result;
  const reach = Math.max(
    1200,
    (drawing.requiredTarget ?? drawing.measuredTarget)?.positionMm[0] ?? 0,
  );
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
  const thrustEnd = plus(
    rear,
    drawing.thrustDirection,
    (reach + 200 - rear[0]) / drawing.thrustDirection[0],
  );
  const free = freePlace(result, reach);
  const [labelX, labelY] = view.at(free);
  return (
    <>
      <path className="centre" d={axle(drawing.frontAxleMm)} />
      <path className="centre" d={axle(rear)} />
      <path className="centre" d={line(view, [rear[0] - 500, 0, 0], [reach + 200, 0, 0])} />
      <path className="thrust" d={line(view, rear, thrustEnd)} />
      <text className="drawing-small halo" x={labelX + 8} y={labelY - 6}>
        {t("drawing.thrustLine")}
      </text>
    </>
  );
}

/** A place on the centreline that no board is close to, for the label. */
function freePlace(result: Result, reach: number): number[] {
  const shares = [0.45, 0.6, 0.3, 0.75];
  const near = result.boards
    .map((board) => board.pose.positionMm)
    .filter((position) => Math.abs(position[1]) < 900);
  const gap = (x: number): number => Math.min(...near.map((position) => Math.abs(position[0] - x)));
  const best = shares.reduce((a, b) => (gap(b * reach) > gap(a * reach) ? b : a));
  return [best * reach, 0, 0];
}

function Targets({ result, view }: ShapeProps) {
  const { t } = useApp();
  const { requiredTarget, measuredTarget, targetSizeMm } = result.drawing;
  const half = [(targetSizeMm?.[0] ?? 600) / 2, (targetSizeMm?.[1] ?? 600) / 2];
  const corners = (target: { positionMm: number[]; rotation: number[] }): number[][] =>
    [
      [half[0], half[1], 0],
      [half[0], -half[1], 0],
      [-half[0], -half[1], 0],
      [-half[0], half[1], 0],
    ].map((corner) => plus(target.positionMm, rotate(target.rotation, corner)));
  const shown = measuredTarget ?? requiredTarget;
  if (!shown) {
    return null;
  }
  const x = view.at(shown.positionMm)[0];
  const top = Math.min(...corners(shown).map((corner) => view.at(corner)[1]));
  return (
    <>
      {requiredTarget ? (
        <path className="required-target" d={`${line(view, ...corners(requiredTarget))}Z`} />
      ) : null}
      {measuredTarget ? (
        <path className="measured-target" d={`${line(view, ...corners(measuredTarget))}Z`} />
      ) : null}
      {measuredTarget && view.side === "side" ? (
        <path
          className="fine"
          d={line(view, measuredTarget.positionMm, [measuredTarget.positionMm[0], 0, 0])}
        />
      ) : null}
      <text
        className="drawing-text halo"
        x={Math.min(view.width - 40, Math.max(40, x))}
        y={top - 10}
        textAnchor="middle"
      >
        {t("drawing.target")}
      </text>
    </>
  );
}

function ScaleBar({ view }: { readonly view: View }) {
  const { show } = useApp();
  const length = roundStep((view.width * 0.3) / view.scale);
  const px = length * view.scale;
  const x = 14;
  const y = view.height - 14;
  return (
    <g>
      <path className="fine-strong" d={`M${x} ${y}h${px}M${x} ${y - 4}v8M${x + px} ${y - 4}v8`} />
      <text className="drawing-small halo" x={x + px + 7} y={y + 4}>
        {show(length, "length", 0)}
      </text>
    </g>
  );
}
