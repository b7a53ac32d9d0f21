import type { CheckResult } from "../../job/result/result.ts";
import { useApp } from "../context/app-context.ts";
import { checkDecimals, positiveIsLeft, quantityOf, sidesOf } from "../i18n/words.ts";
import { rangeOf } from "./scale.ts";
import { useWidth } from "./use-width.ts";

const belowAxis = 38;
const sideRow = 18;
const side = 10;
const roomyAxisY = 46;
const compactAxisY = 20;

/**
 * A check as a point with its interval on a number line that carries the tolerance band. Labels are
 * moved apart so that they never lie on each other.
 */
export function NumberLine(props: {
  readonly check: CheckResult;
  /** For paper: without what the text beside it says already. */
  readonly compact?: boolean;
}) {
  const { check, compact = false } = props;
  const { t, showMeasured, showStated } = useApp();
  const { ref, width } = useWidth<HTMLDivElement>();
  const { lower, upper, required, measured, expandedUncertainty: half } = check;
  const flip = positiveIsLeft(check.quantity);
  const sides = sidesOf(check.quantity, t);
  const axisY = compact ? compactAxisY : roomyAxisY;
  const named = [lower, upper, required, measured].filter((value) => value !== null);
  // Without zero on the line an arrow to either side would give its numbers a wrong direction.
  const onlySide = sides ? sideOfAll(named, sides) : null;
  const height = axisY + belowAxis + (onlySide || (sides && !compact) ? sideRow : 0);
  const range = rangeOf(
    [lower ?? Number.NaN, upper ?? Number.NaN, required, measured - half, measured + half],
    0.12,
  );
  const x = (value: number): number => {
    const share = (value - range.low) / (range.high - range.low);
    return side + (flip ? 1 - share : share) * (width - 2 * side);
  };
  const [low, high] = flip ? [upper, lower] : [lower, upper];
  const bandLeft = low === null ? 0 : x(low);
  const bandRight = high === null ? width : x(high);
  const quantity = quantityOf(check);
  // Where the sides are named in words, the numbers need no sign.
  const unsigned = (value: number): number => (sides ? Math.abs(value) : value);
  const stated = (value: number): string => showStated(unsigned(value), quantity);
  const labels = spread(
    [
      ...(low === null ? [] : [{ at: bandLeft, text: stated(low) }]),
      { at: x(required), text: stated(required), strong: true },
      ...(high === null ? [] : [{ at: bandRight, text: stated(high) }]),
    ],
    width,
  );
  return (
    <div className="number-line" ref={ref} aria-hidden="true">
      <svg aria-hidden="true" width={width} height={height} viewBox={`0 0 ${width} ${height}`}>
        <rect
          className="band"
          x={bandLeft}
          y={axisY - 15}
          width={Math.max(2, bandRight - bandLeft)}
          height={30}
        />
        <Hatch left={bandLeft} right={bandRight} top={axisY - 15} />
        {low === null ? null : <path className="limit" d={`M${bandLeft} ${axisY - 19}v38`} />}
        {high === null ? null : <path className="limit" d={`M${bandRight} ${axisY - 19}v38`} />}
        <path className="axis" d={`M${side / 2} ${axisY}H${width - side / 2}`} />
        <path className="centre" d={`M${x(required)} ${axisY - 19}v38`} />
        <path
          className="interval"
          d={`M${x(measured - half)} ${axisY}H${x(measured + half)}M${x(measured - half)} ${axisY - 7}v14M${x(measured + half)} ${axisY - 7}v14`}
        />
        <circle className="point" cx={x(measured)} cy={axisY} r={5.5} />
        {compact ? null : (
          <text
            className="measured"
            x={clamp(x(measured), 46, width - 46)}
            y={axisY - 24}
            textAnchor="middle"
          >
            {showMeasured(unsigned(measured), quantity, checkDecimals(check))}
          </text>
        )}
        {labels.map((label) => (
          <text
            key={`${label.at}-${label.text}`}
            className={label.strong ? "required" : "limit-text"}
            x={label.at}
            y={axisY + 33}
            textAnchor="middle"
          >
            {label.text}
          </text>
        ))}
        {onlySide ? (
          <text className="limit-text" x={width / 2} y={height - 5} textAnchor="middle">
            {t("side.all", { side: onlySide })}
          </text>
        ) : sides && !compact ? (
          <>
            <text className="limit-text" x={2} y={height - 5}>
              ← {flip ? sides.positive : sides.negative}
            </text>
            <text className="limit-text" x={width - 2} y={height - 5} textAnchor="end">
              {flip ? sides.negative : sides.positive} →
            </text>
          </>
        ) : null}
      </svg>
    </div>
  );
}

/** The one side on which all values lie; null where they lie on both or at zero. */
function sideOfAll(
  values: readonly number[],
  sides: { readonly positive: string; readonly negative: string },
): string | null {
  if (values.every((value) => value > 0)) {
    return sides.positive;
  }
  return values.every((value) => value < 0) ? sides.negative : null;
}

/** Thin slanted lines inside the tolerance band: readable without colour. */
function Hatch(props: { readonly left: number; readonly right: number; readonly top: number }) {
  const { left, right, top } = props;
  const lines: string[] = [];
  for (let at = left + 6; at < right + 30; at += 9) {
    const x0 = Math.min(at, right);
    const x1 = Math.max(at - 30, left);
    if (x1 < right && x0 > left) {
      lines.push(`M${x0} ${top + (at - x0)}L${x1} ${top + (at - x1)}`);
    }
  }
  return <path className="hatch" d={lines.join("")} />;
}

interface Label {
  readonly at: number;
  readonly text: string;
  readonly strong?: boolean;
}

const clamp = (value: number, low: number, high: number): number =>
  Math.min(high, Math.max(low, value));

/** With the gap to the next one. */
const widthOf = ({ text, strong }: Label): number => text.length * (strong ? 7.8 : 7.2) + 12;

/** Moves labels apart (left to right), then back inside the drawing; drops what has no room. */
function spread(labels: readonly Label[], width: number): Label[] {
  const needed = labels.reduce((sum, label) => sum + widthOf(label), 0);
  const kept = needed > width ? labels.filter((label) => label.strong) : labels;
  const placed: Label[] = [];
  let free = 0;
  for (const label of kept) {
    const half = widthOf(label) / 2;
    const at = Math.max(label.at, free + half);
    placed.push({ ...label, at });
    free = at + half;
  }
  let limit = width;
  for (let i = placed.length - 1; i >= 0; i--) {
    const half = widthOf(placed[i]) / 2;
    placed[i] = { ...placed[i], at: Math.min(placed[i].at, limit - half) };
    limit = placed[i].at - half;
  }
  return placed;
}
