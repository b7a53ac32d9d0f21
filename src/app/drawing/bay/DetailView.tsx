import type { Result } from "../../../job/result/result.ts";
import { useApp } from "../../context/app-context.ts";
import { Words } from "../../parts/Words.tsx";
import { ellipse95, ellipseOf, roundLength } from "../scale.ts";
import { useWidth } from "../use-width.ts";
import { boxesAlong, placeLabels, type Spot } from "./place-labels.ts";
import { rotate } from "./view.ts";

/** Differences that would read as nothing need no number. */
const nothingMm = 0.05;
const screenHeight = 260;
const paperSize = { width: 250, height: 150 };

/**
 * Detail A: the target's reference point from above, magnified until the difference between where
 * it must stand and where it stands can be seen, with the 95 % ellipse of the measurement.
 */
export function DetailView(props: { readonly result: Result; readonly onPaper: boolean }) {
  const { result, onPaper } = props;
  const { t, show, showStated, units } = useApp();
  const { ref, width: screenWidth } = useWidth<HTMLDivElement>();
  const { width, height } = onPaper ? paperSize : { width: screenWidth, height: screenHeight };
  const {
    requiredTarget: required,
    measuredTarget: measured,
    targetPlanCovariance,
  } = result.drawing;
  if (!required || !measured) {
    return null;
  }
  const dx = measured.positionMm[0] - required.positionMm[0];
  const dy = measured.positionMm[1] - required.positionMm[1];
  const ellipse = targetPlanCovariance ? ellipseOf(targetPlanCovariance) : null;
  const room = Math.max(Math.abs(dx), Math.abs(dy), (ellipse?.major ?? 0) * ellipse95, 1);
  const scale = (Math.min(width, height) / 2 - (onPaper ? 30 : 62)) / room;
  // The middle of the drawing is half-way between both places, so that neither leaves it.
  const at = (x: number, y: number): readonly [number, number] => [
    width / 2 + (x - dx / 2) * scale,
    height / 2 - (y - dy / 2) * scale,
  ];
  const [rx, ry] = at(0, 0);
  const [mx, my] = at(dx, dy);
  const bar = roundLength(room / 2, units.length);
  const differences = placeLabels(
    [
      {
        key: "ahead",
        size: Math.abs(dx),
        text: show(Math.abs(dx), "length", 1),
        fontPx: 13,
        spots: besideFoot(Math.min(mx, rx), Math.max(mx, rx), my),
      },
      {
        key: "across",
        size: Math.abs(dy),
        text: show(Math.abs(dy), "length", 1),
        fontPx: 13,
        spots: besideLeg((my + ry) / 2, rx, rx <= mx ? -1 : 1),
      },
    ].filter(({ size }) => size >= nothingMm),
    [
      ...boxesAlong(...ends(required.rotation, rx, ry, width)),
      ...boxesAlong(...ends(measured.rotation, mx, my, width)),
      ...boxesAlong([rx, my], [rx, ry]),
      { left: mx - 8, top: my - 8, right: mx + 8, bottom: my + 8 },
      { left: rx - 10, top: ry - 10, right: rx + 10, bottom: ry + 10 },
    ],
    { left: 0, top: 0, right: width, bottom: height - 26 },
  );
  return (
    <figure className="detail" ref={ref}>
      <figcaption>
        <strong>{t("drawing.detail")}</strong> {t("drawing.detailExplain")}
      </figcaption>
      <svg
        width={width}
        height={height}
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label={t("drawing.detail")}
      >
        <path className="required-target" d={face(required.rotation, rx, ry, width)} />
        <path className="measured-target" d={face(measured.rotation, mx, my, width)} />
        <path className="fine" d={`M${mx} ${my}H${rx}V${ry}`} />
        {ellipse ? (
          <ellipse
            className="ellipse"
            rx={Math.max(2, ellipse.major * ellipse95 * scale)}
            ry={Math.max(2, ellipse.minor * ellipse95 * scale)}
            transform={`translate(${mx} ${my}) rotate(${(-ellipse.turn * 180) / Math.PI})`}
          />
        ) : null}
        <path className="fine-strong" d={`M${rx - 9} ${ry}h18M${rx} ${ry - 9}v18`} />
        <circle className="point" cx={mx} cy={my} r={4} />
        {differences.map((label) => (
          <text
            key={label.key}
            className="drawing-small halo"
            data-testid="drawing-label"
            x={label.x}
            y={label.y}
            textAnchor={label.anchor}
          >
            {label.text}
          </text>
        ))}
        <path
          className="fine-strong"
          d={`M14 ${height - 14}h${bar * scale}m0 -4v8M14 ${height - 18}v8`}
        />
        <text className="drawing-small halo" x={20 + bar * scale} y={height - 10}>
          {showStated(bar, "length")}
        </text>
      </svg>
      <ul className="legend">
        <li>
          <svg width="34" height="12" aria-hidden="true">
            <path className="required-target" d="M2 6h30" />
          </svg>
          {t("drawing.required")}
        </li>
        <li>
          <svg width="34" height="12" aria-hidden="true">
            <path className="measured-target" d="M2 6h30" />
          </svg>
          {t("drawing.measured")}
        </li>
        <li>
          <svg width="34" height="14" aria-hidden="true">
            <ellipse className="ellipse" cx="17" cy="7" rx="13" ry="5" />
          </svg>
          <Words text={t("drawing.ellipse")} />
        </li>
      </ul>
    </figure>
  );
}

/** Beside the upright leg, away from the other place first; further off where lines are close. */
function besideLeg(middle: number, x: number, away: 1 | -1): Spot[] {
  return [0, 24, -24, 44, -44].flatMap((down) =>
    [away, -away].map((side) => ({
      x: x + side * 12,
      y: middle + 4 + down,
      anchor: side > 0 ? ("start" as const) : ("end" as const),
    })),
  );
}

/** Below or above the level leg, else beyond one of its ends. */
function besideFoot(left: number, right: number, y: number): Spot[] {
  const middle = (left + right) / 2;
  const downs = [18, -9, 34, -25];
  return [
    ...downs.map((down) => ({ x: middle, y: y + down, anchor: "middle" as const })),
    ...downs.flatMap((down) => [
      { x: left - 12, y: y + down, anchor: "end" as const },
      { x: right + 14, y: y + down, anchor: "start" as const },
    ]),
  ];
}

/** The edge of the face seen from above: a line through the point along the target's own x. */
function ends(
  rotation: readonly number[],
  x: number,
  y: number,
  width: number,
): [[number, number], [number, number]] {
  const along = rotate(rotation, [1, 0, 0]);
  const length = Math.hypot(along[0], along[1]) || 1;
  const sx = (along[0] / length) * width;
  const sy = (-along[1] / length) * width;
  return [
    [x - sx, y - sy],
    [x + sx, y + sy],
  ];
}

function face(...where: Parameters<typeof ends>): string {
  const [from, to] = ends(...where);
  return `M${from.join(" ")}L${to.join(" ")}`;
}
