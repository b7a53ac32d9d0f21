import type { PhotoFindings } from "../../detection/findings.ts";
import { sheetId } from "../../detection/findings.ts";
import { useApp } from "../app-context.ts";

/** Where in the frame the sheet has been seen so far: every found corner as a dot. */
export function CoverageDrawing({ photos }: { readonly photos: readonly PhotoFindings[] }) {
  const { t } = useApp();
  const first = photos[0];
  const unit = first.width / 300;
  return (
    <figure className="coverage">
      <svg
        viewBox={`${-2 * unit} ${-2 * unit} ${first.width + 4 * unit} ${first.height + 4 * unit}`}
        role="img"
        aria-label={t("camera.coverage")}
      >
        <rect
          className="coverage-frame"
          width={first.width}
          height={first.height}
          strokeWidth={unit}
        />
        {photos.map((photo) => (
          <path
            key={photo.name}
            className="coverage-dots"
            strokeWidth={2.2 * unit}
            d={dotsPath(photo)}
          />
        ))}
      </svg>
      <figcaption className="small quiet">{t("camera.coverage")}</figcaption>
    </figure>
  );
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
