import type { Sample } from "../../../watch/log.ts";
import { useApp } from "../../context/app-context.ts";
import { boardName } from "../../i18n/board-name.ts";

const [wide, high] = [600, 100];
/** Movement shown at least, mm either way. */
const leastRange = 1;

/** A board's course: right, down, and away (dashed), with the band of noise and the job's limit. */
export function StripChart(props: {
  readonly board: number;
  readonly samples: readonly Sample[];
  readonly limits: { readonly sidewaysMm: number };
}) {
  const { board, samples, limits } = props;
  const { t, showMeasured } = useApp();
  const last = samples.at(-1);
  if (!last) {
    return null;
  }
  const most = samples.reduce(
    (top, { most, least }) => Math.max(top, ...most.map(Math.abs), ...least.map(Math.abs)),
    leastRange,
  );
  const x = (i: number) => (wide * (i + 0.5)) / Math.max(60, samples.length);
  const y = (mm: number) => high / 2 - (mm / most) * (high / 2 - 2);
  const line = (axis: 0 | 1 | 2) =>
    samples
      .map(({ least, most }, i) => `${i ? "L" : "M"}${x(i)} ${y((least[axis] + most[axis]) / 2)}`)
      .join("");
  const band = Math.min(most, last.band[0]);
  const name = boardName(board, t);
  return (
    <figure data-testid="strip" data-board={board}>
      <figcaption className="small">
        {name} · {t("watch.sideways")}, {t("watch.down")}, {t("watch.depth")} (– –) · ±
        {showMeasured(most, "length", 1)}
      </figcaption>
      <svg
        className="strip"
        viewBox={`0 0 ${wide} ${high}`}
        preserveAspectRatio="none"
        role="img"
        aria-label={t("watch.chart", { board: name })}
      >
        <rect className="strip-band" x={0} width={wide} y={y(band)} height={y(-band) - y(band)} />
        {[limits.sidewaysMm, -limits.sidewaysMm].map((mm) => (
          <path key={mm} className="strip-limit" d={`M0 ${y(mm)}H${wide}`} />
        ))}
        <path className="strip-line" d={line(0)} />
        <path className="strip-line" d={line(1)} />
        <path className="strip-line strip-depth" d={line(2)} />
      </svg>
    </figure>
  );
}
