import { useApp } from "../context/app-context.ts";
import { rangeOf, roundStep } from "./scale.ts";
import type { TrendPoint } from "./trend-point.ts";
import { useWidth } from "./use-width.ts";

interface TrendSeries {
  /** Stands at its last point; empty where there is only one. */
  readonly name: string;
  /** A ring or a cross, so that two series differ without colour. */
  readonly mark: "ring" | "cross";
  readonly points: readonly TrendPoint[];
}

interface TrendProps {
  readonly title: string;
  readonly series: readonly TrendSeries[];
  /** A value of the axis in words with its unit. */
  readonly say: (value: number) => string;
  /** Zero belongs to the axis: sizes of errors, deviations. */
  readonly fromZero: boolean;
}

const height = 132;
const top = 12;
const bottom = 26;
const right = 12;

/** Values over time: points joined in order, a few round values at the left, first and last day below. */
export function TrendDrawing({ title, series, say, fromZero }: TrendProps) {
  const { locale } = useApp();
  const { ref, width } = useWidth<HTMLDivElement>(320);
  const points = series.flatMap((one) => one.points);
  const values = points.map(({ value }) => value);
  const range = rangeOf(fromZero ? [...values, 0] : values, 0.12);
  const low = fromZero && Math.min(...values, 0) >= 0 ? 0 : range.low;
  const ticks = ticksOf(low, range.high);
  const left = 14 + 7.2 * Math.max(...ticks.map((tick) => say(tick).length));
  const times = points.map(({ at }) => at);
  const [first, last] = [Math.min(...times), Math.max(...times)];
  const x = (at: number) =>
    last === first
      ? (left + width - right) / 2
      : left + 8 + ((at - first) / (last - first)) * (width - left - right - 16);
  const y = (value: number) =>
    height - bottom - ((value - low) / (range.high - low)) * (height - top - bottom);
  const day = (at: number) =>
    new Date(at).toLocaleDateString(locale, { day: "numeric", month: "short", year: "numeric" });
  return (
    <div ref={ref} className="trend">
      <svg width={width} height={height} role="img" aria-label={title}>
        {ticks.map((tick) => (
          <g key={tick}>
            <path
              className={tick === 0 ? "fine-strong" : "trend-grid"}
              d={`M${left} ${y(tick)}H${width - right}`}
            />
            <text className="drawing-small" x={left - 6} y={y(tick) + 4} textAnchor="end">
              {say(tick)}
            </text>
          </g>
        ))}
        {series.map(({ name, mark, points: line }) => (
          <g key={name}>
            <path
              className="trend-line"
              d={line
                .map(({ at, value }, i) => `${i === 0 ? "M" : "L"}${x(at)} ${y(value)}`)
                .join("")}
            />
            {line.map(({ at, value, verdict }) =>
              mark === "cross" ? (
                <path
                  key={at}
                  className="trend-mark"
                  d={`M${x(at) - 4} ${y(value) - 4}l8 8m0-8l-8 8`}
                />
              ) : (
                <circle
                  key={at}
                  className={verdict === "misses" ? "trend-mark trend-missed" : "trend-mark"}
                  cx={x(at)}
                  cy={y(value)}
                  r={4.5}
                />
              ),
            )}
          </g>
        ))}
        <text className="drawing-small" x={left} y={height - 6}>
          {day(first)}
        </text>
        {last > first ? (
          <text className="drawing-small" x={width - right} y={height - 6} textAnchor="end">
            {day(last)}
          </text>
        ) : null}
      </svg>
    </div>
  );
}

/** Two to four round values between two ends. */
function ticksOf(low: number, high: number): number[] {
  const step = roundStep((high - low) / 2);
  const ticks: number[] = [];
  for (let n = Math.ceil(low / step - 1e-9); n * step <= high + 1e-12; n++) {
    ticks.push(n === 0 ? 0 : n * step);
  }
  return ticks;
}
