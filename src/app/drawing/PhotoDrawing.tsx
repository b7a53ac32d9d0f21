import { useEffect, useState } from "react";
import type { PhotoFindings } from "../../detect/findings/findings.ts";
import { sheetId } from "../../detect/findings/findings.ts";
import { isSideways, turnOf } from "../../photo/exif/turn-of.ts";
import { useApp } from "../context/app-context.ts";
import { Button } from "../parts/Button.tsx";
import { useObjectUrl } from "../parts/use-object-url.ts";
import { ZoomButtons } from "../parts/ZoomButtons.tsx";
import { thumbs } from "../photos/thumbs.ts";
import { inBackground } from "../state/failures.ts";

interface PhotoDrawingProps {
  readonly photo: Blob;
  readonly findings: PhotoFindings;
}

/**
 * The photo with the boards that were found. Findings are in stored pixels: the photo is shown
 * without its EXIF, which browsers obey or not as they like, and both are turned together.
 */
export function PhotoDrawing({ photo, findings }: PhotoDrawingProps) {
  const { t } = useApp();
  const [zoom, setZoom] = useState(1);
  const [dots, setDots] = useState(false);
  const [stored, setStored] = useState<Blob | null>(null);
  useEffect(() => {
    setStored(null);
    inBackground(thumbs().stored(photo).then(setStored));
  }, [photo]);
  const url = useObjectUrl(stored);
  const { width, height, boards, exif } = findings;
  const orientation = exif?.orientation ?? 1;
  const [shownWidth, shownHeight] = isSideways(orientation) ? [height, width] : [width, height];
  const [a, b, c, d, e, f] = turnOf(orientation, width, height);
  const unit = Math.max(shownWidth, shownHeight) / 1000;
  return (
    <div className="photo-drawing">
      <div className="bay-tools">
        <Button aria-pressed={dots} onClick={() => setDots(!dots)}>
          {t("photo.showPoints")}
        </Button>
        <ZoomButtons zoom={zoom} most={16} step={2} onChange={setZoom} />
      </div>
      {/* biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region must be reachable by key */}
      <section className="photo-scroll" tabIndex={0} aria-label={t("drawing.scroll")}>
        <svg
          className="photo-svg"
          // Unmagnified the whole photo is in sight, upright ones too.
          style={{ width: `calc(${zoom} * min(100%, 80dvh * ${shownWidth / shownHeight}))` }}
          viewBox={`0 0 ${shownWidth} ${shownHeight}`}
          role="img"
          aria-label={t("photo.drawingHeard", { count: boards.length })}
        >
          <g transform={`matrix(${a} ${b} ${c} ${d} ${e} ${f})`}>
            {url ? <image href={url} width={width} height={height} /> : null}
            {/* The centre of the first pixel is (0, 0) in findings. */}
            <g transform="translate(0.5 0.5)">
              {boards.map((board) => {
                const corners = Array.from(board.outline);
                const used = board.quality.grade !== "not used";
                const [cx, cy] = [0, 1].map(
                  (axis) =>
                    (corners[axis] + corners[axis + 2] + corners[axis + 4] + corners[axis + 6]) / 4,
                );
                const reach = Math.max(
                  ...[0, 2, 4, 6].map((i) => Math.hypot(corners[i] - cx, corners[i + 1] - cy)),
                );
                const fontSize = (34 * unit) / Math.sqrt(zoom);
                return (
                  <g key={board.id} className={used ? "found" : "found found-unused"}>
                    <path
                      className="found-back"
                      strokeWidth={(7 * unit) / Math.sqrt(zoom)}
                      d={outlinePath(corners)}
                    />
                    <path
                      className="found-line"
                      strokeWidth={(3.6 * unit) / Math.sqrt(zoom)}
                      d={outlinePath(corners)}
                    />
                    {dots ? (
                      <path
                        className="found-points"
                        strokeWidth={(1.2 * unit) / zoom}
                        d={pointsPath(board.pixels, (4 * unit) / zoom)}
                      />
                    ) : null}
                    {board.id === sheetId ? null : (
                      <text
                        className="found-text"
                        fontSize={fontSize}
                        strokeWidth={fontSize / 4}
                        textAnchor="middle"
                        transform={`translate(${cx} ${cy}) matrix(${a} ${c} ${b} ${d} 0 0)`}
                        dy={-reach - fontSize * 0.2}
                      >
                        {board.id}
                      </text>
                    )}
                  </g>
                );
              })}
            </g>
          </g>
        </svg>
      </section>
    </div>
  );
}

const outlinePath = (c: readonly number[]): string =>
  `M${c[0]} ${c[1]}L${c[2]} ${c[3]}L${c[4]} ${c[5]}L${c[6]} ${c[7]}Z`;

function pointsPath(pixels: ArrayLike<number>, arm: number): string {
  const parts: string[] = [];
  for (let i = 0; i + 1 < pixels.length; i += 2) {
    parts.push(`M${pixels[i] - arm} ${pixels[i + 1]}h${2 * arm}m${-arm} ${-arm}v${2 * arm}`);
  }
  return parts.join("");
}
