import type { Guidance } from "../../calibrate/guidance/guidance.ts";
import type { PhotoFindings } from "../../detect/findings/findings.ts";
import { sheetId } from "../../detect/findings/findings.ts";
import { useApp } from "../context/app-context.ts";

interface CoverageProps {
  readonly photos: readonly PhotoFindings[];
  readonly frame: Guidance["frame"];
  /** False while the outline asked for belongs to an earlier state. */
  readonly asking: boolean;
}

/**
 * The picture as the phone shows it: every corner of the sheet found so far as a dot, and the sheet
 * as it should lie in the next photo.
 */
export function CoverageDrawing({ photos, frame, asking }: CoverageProps) {
  const { t } = useApp();
  const { width, height, turns } = frame;
  const [across, down] = turns % 2 === 0 ? [width, height] : [height, width];
  const unit = Math.max(width, height) / 300;
  const outline = asking ? frame.outline : [];
  const words = [
    photos.length > 0 ? t("guide.seen") : "",
    outline.length === 8 ? t("guide.asked") : "",
    outline.length === 8 && frame.nearSide !== null ? t("guide.near") : "",
  ].join(" ");
  const same = photos.filter((photo) => photo.width === width && photo.height === height);
  return (
    <figure className="coverage">
      <svg
        viewBox={`${-2 * unit} ${-2 * unit} ${across + 4 * unit} ${down + 4 * unit}`}
        role="img"
        aria-label={t("camera.coverage")}
      >
        <rect className="coverage-frame" width={across} height={down} strokeWidth={unit} />
        <g transform={turnTo(turns, width, height)}>
          {same.map((photo) => (
            <path
              key={photo.name}
              className="coverage-dots"
              strokeWidth={2.2 * unit}
              d={dotsPath(photo)}
            />
          ))}
          {outline.length === 8 ? (
            <>
              <path
                className="coverage-asked"
                strokeWidth={1.6 * unit}
                strokeDasharray={`${6 * unit} ${4 * unit}`}
                d={`M${outline.map(Math.round).join(" ")}z`}
              />
              <path
                className="coverage-near"
                strokeWidth={4 * unit}
                d={nearEdgePath(frame, outline)}
              />
            </>
          ) : null}
        </g>
      </svg>
      {words.trim() ? <figcaption className="small quiet">{words}</figcaption> : null}
    </figure>
  );
}

/** Turns pixels as stored clockwise by quarter turns into the picture as shown. */
const turnTo = (turns: number, width: number, height: number): string | undefined =>
  [
    undefined,
    `matrix(0 1 -1 0 ${height} 0)`,
    `matrix(-1 0 0 -1 ${width} ${height})`,
    `matrix(0 -1 1 0 0 ${width})`,
  ][turns];

/** The longest side of the outline is the nearest; none where the sheet is seen face on. */
function nearEdgePath({ nearSide }: Guidance["frame"], outline: readonly number[]): string {
  if (nearSide === null) {
    return "";
  }
  const at = (corner: number) => outline.slice(2 * (corner % 4), 2 * (corner % 4) + 2).join(" ");
  return `M${at(nearSide)}L${at(nearSide + 1)}`;
}

/** Zero-length strokes with round caps are dots. */
function dotsPath(photo: PhotoFindings): string {
  const sheet = photo.boards.find((board) => board.id === sheetId);
  const parts: string[] = [];
  for (let i = 0; sheet && i + 1 < sheet.pixels.length; i += 2) {
    parts.push(`M${sheet.pixels[i].toFixed(0)} ${sheet.pixels[i + 1].toFixed(0)}h0`);
  }
  return parts.join("");
}
