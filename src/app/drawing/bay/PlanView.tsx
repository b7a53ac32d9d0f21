import { useEffect, useRef, useState } from "react";
import type { Result } from "../../../job/result/result.ts";
import { useApp } from "../../context/app-context.ts";
import { ZoomButtons } from "../../parts/ZoomButtons.tsx";
import { useWidth } from "../use-width.ts";
import { Bay } from "./bay-shapes.tsx";
import { DetailView } from "./DetailView.tsx";
import { boundsOf, onPaper, type Point, type View } from "./view.ts";

type Side = "plan" | "side";

/** Width of the plan on the printed record. */
const paperPx = 430;

/** The bay to scale, seen from above or from the vehicle's right, with a magnified detail. */
export function BayDrawing(props: {
  readonly result: Result;
  /** For the printed record: the plan lies on its side, nothing to press. */
  readonly onPaper?: boolean;
}) {
  const { result, onPaper: paper = false } = props;
  const { t } = useApp();
  const [side, setSide] = useState<Side>("plan");
  const [zoom, setZoom] = useState(1);
  const { ref, width: screenWidth } = useWidth<HTMLDivElement>();
  const width = paper ? paperPx : screenWidth;
  const { drawing } = result;
  return (
    <div className="bay">
      <div className="bay-tools" hidden={paper}>
        <div className="segments">
          {(["plan", "side"] as const).map((item) => (
            <button
              key={item}
              type="button"
              aria-pressed={side === item}
              onClick={() => setSide(item)}
            >
              {t(item === "plan" ? "drawing.plan" : "drawing.side")}
            </button>
          ))}
        </div>
        <ZoomButtons zoom={zoom} most={8} step={1.6} onChange={setZoom} />
      </div>
      <div className="bay-paper" ref={ref}>
        <Sheet result={result} side={side} zoom={zoom} width={width} lying={paper} />
      </div>
      {side === "plan" && drawing.requiredTarget && drawing.measuredTarget ? (
        <DetailView result={result} onPaper={paper} />
      ) : null}
    </div>
  );
}

interface SheetProps {
  readonly result: Result;
  readonly side: Side;
  readonly zoom: number;
  readonly width: number;
  readonly lying: boolean;
}

function Sheet({ result, side, zoom, width, lying }: SheetProps) {
  const { t } = useApp();
  // One way round in every drawing: the car's front to the right.
  const projection = side === "side" ? "side" : "plan on its side";
  const bounds = boundsOf(result, projection);
  const margin = lying ? 14 : 44;
  const spanX = bounds.right - bounds.left;
  const spanY = bounds.bottom - bounds.top;
  const fit = Math.min((width - 2 * margin) / spanX, 620 / spanY);
  const scale = fit * zoom;
  const paperWidth = Math.max(width, spanX * scale + 2 * margin);
  // On paper there is little margin, so the scale bar gets a strip of its own.
  const paperHeight = spanY * scale + 2 * margin + (lying ? 20 : 0);
  const centreX = (paperWidth - spanX * scale) / 2;
  const view: View = {
    side,
    scale,
    width: paperWidth,
    height: paperHeight,
    at: (point: Point) => {
      const [x, y] = onPaper(point, projection);
      return [(x - bounds.left) * scale + centreX, (y - bounds.top) * scale + margin];
    },
  };
  const scroll = useRef<HTMLElement>(null);
  const { requiredTarget, measuredTarget } = result.drawing;
  const wanted = (requiredTarget ?? measuredTarget)?.positionMm;
  const [targetX, targetY] = wanted ? view.at(wanted) : [paperWidth / 2, paperHeight / 2];
  // Enlarged, the target is what one wants to see.
  // biome-ignore lint/correctness/useExhaustiveDependencies: only a new zoom moves what is in sight
  useEffect(() => {
    const region = scroll.current;
    if (region) {
      region.scrollLeft = targetX - region.clientWidth / 2;
      region.scrollTop = targetY - region.clientHeight / 2;
    }
  }, [zoom, side]);
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key
    <section className="bay-scroll" tabIndex={0} aria-label={t("drawing.scroll")} ref={scroll}>
      <svg
        className="drawing"
        width={paperWidth}
        height={paperHeight}
        viewBox={`0 0 ${paperWidth} ${paperHeight}`}
        role="img"
        aria-label={t(side === "plan" ? "drawing.planHeard" : "drawing.sideHeard")}
      >
        <Bay result={result} view={view} />
      </svg>
    </section>
  );
}
