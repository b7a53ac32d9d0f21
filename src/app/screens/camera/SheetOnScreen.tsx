import { useEffect, useState } from "react";
import { tagCellIsBlack, tagCells } from "../../../boards/pattern.ts";
import {
  sheetColumns,
  sheetMarkerBitCells,
  sheetMarkerCells,
  sheetMarkers,
  sheetRows,
  sheetSquareIsBlack,
} from "../../../boards/sheet.ts";
import { useApp } from "../../context/app-context.ts";
import { go } from "../../context/routes.ts";

/**
 * The camera sheet on a flat screen: no paper to bend, and its size does not matter for the lens.
 * Lies on its side where the screen is wider than high.
 */
export default function SheetOnScreen() {
  const { t } = useApp();
  const lying = useLandscape();
  const [columns, rows] = lying ? [sheetRows, sheetColumns] : [sheetColumns, sheetRows];
  return (
    <main className="screen-sheet" id="main">
      <h1 className="only-heard">{t("camera.onScreen")}</h1>
      <svg
        viewBox={`-0.5 -0.5 ${columns + 1} ${rows + 1}`}
        role="img"
        aria-label={t("role.sheet")}
        data-testid="screen-sheet"
      >
        <g transform={lying ? `translate(${sheetRows} 0) rotate(90)` : undefined}>
          <path d={sheetPath()} />
        </g>
      </svg>
      <button type="button" className="screen-sheet-back" onClick={goBack}>
        {t("moves.previous")}
      </button>
    </main>
  );
}

/** Back to where the sheet was opened from, or to the jobs. */
function goBack(): void {
  if (window.history.length > 1) {
    window.history.back();
  } else {
    go("#/");
  }
}

/** All black areas, one square of the sheet = 1, y down. */
function sheetPath(): string {
  const parts: string[] = [];
  const square = (x: number, y: number, side: number) =>
    parts.push(
      `M${x.toFixed(5)} ${y.toFixed(5)}h${side.toFixed(5)}v${side.toFixed(5)}h${-side.toFixed(5)}z`,
    );
  for (let row = 0; row < sheetRows; row++) {
    for (let col = 0; col < sheetColumns; col++) {
      if (sheetSquareIsBlack(row, col)) {
        square(col, row, 1);
      }
    }
  }
  const margin = (1 - sheetMarkerCells) / 2;
  for (const { id, row, col } of sheetMarkers) {
    for (let r = 0; r < tagCells; r++) {
      for (let c = 0; c < tagCells; c++) {
        if (tagCellIsBlack(id, r, c)) {
          square(
            col + margin + c * sheetMarkerBitCells,
            row + margin + r * sheetMarkerBitCells,
            sheetMarkerBitCells,
          );
        }
      }
    }
  }
  return parts.join("");
}

function useLandscape(): boolean {
  const query = "(orientation: landscape)";
  const [landscape, setLandscape] = useState(() => window.matchMedia(query).matches);
  useEffect(() => {
    const media = window.matchMedia(query);
    const look = () => setLandscape(media.matches);
    media.addEventListener("change", look);
    return () => media.removeEventListener("change", look);
  }, []);
  return landscape;
}
