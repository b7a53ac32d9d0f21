import type { SheetDraft, StepDraft } from "../../../placement/sheet/draft.ts";
import type { CheckKind } from "../../../placement/sheet/sheet.ts";
import { useApp } from "../../context/app-context.ts";
import { type Spot, sceneHeight, sceneOf, sceneWidth } from "./scene.ts";
import { checkWords, letterOf, valueInWords } from "./sheet-words.ts";

interface SheetDrawingProps {
  readonly draft: SheetDraft;
  readonly step: StepDraft;
  /** Index of the check that is open, or null. */
  readonly open: number | null;
  readonly onPick: (kind: CheckKind) => void;
}

/** The bay as the maker's page draws it: tap a dimension to enter or change its number. */
export function SheetDrawing({ draft, step, open, onPick }: SheetDrawingProps) {
  const app = useApp();
  const { t } = app;
  const scene = sceneOf(draft, step);
  const openKind = open === null ? null : step.checks[open]?.kind;
  return (
    <div className="sheet-drawing">
      <svg viewBox={`0 0 ${sceneWidth} ${sceneHeight}`} aria-hidden="true" focusable="false">
        <path className="visible" d={scene.floor} />
        <path className="phantom" d={scene.phantom} />
        <path className="fine-strong" d={scene.wheels} />
        <path className="centre" d={scene.centre} />
        <path className="fine-strong" d={scene.stand} />
        <path className="visible" d={scene.target} />
        <text x={scene.noseX + 4} y={219} className="sheet-drawing-word halo">
          {t("sheet.front")} →
        </text>
        <text x={6} y={16} className="sheet-drawing-word">
          {t("sheet.viewSide")}
        </text>
        <text x={6} y={168} className="sheet-drawing-word">
          {t("sheet.viewAbove")}
        </text>
        {scene.frontView === null ? null : (
          <text x={scene.frontView} y={16} className="sheet-drawing-word" textAnchor="middle">
            {t("sheet.viewFront")}
          </text>
        )}
        {scene.spots.map((spot) => {
          const at = step.checks.findIndex(({ kind }) => kind === spot.kind);
          const check = step.checks[at];
          const state = openKind === spot.kind ? "asked" : check ? "fine-strong" : "dimension-free";
          return (
            <g key={spot.kind}>
              <path className={state} d={spot.lines} />
              {check && check.required !== null ? (
                <text
                  x={spot.text[0]}
                  y={spot.text[1]}
                  textAnchor={spot.text[2]}
                  className="sheet-drawing-value halo"
                >
                  {valueInWords(check, app)}
                </text>
              ) : null}
            </g>
          );
        })}
      </svg>
      {scene.spots.map((spot) => (
        <SpotButton key={spot.kind} spot={spot} step={step} draft={draft} onPick={onPick} />
      ))}
    </div>
  );
}

function SpotButton(props: {
  readonly spot: Spot;
  readonly step: StepDraft;
  readonly draft: SheetDraft;
  readonly onPick: (kind: CheckKind) => void;
}) {
  const { spot, step, onPick } = props;
  const app = useApp();
  const at = step.checks.findIndex(({ kind }) => kind === spot.kind);
  const check = step.checks[at];
  const name = app.t(`word.${spot.kind}`);
  return (
    <button
      type="button"
      className={`sheet-spot ${check ? "sheet-spot-used" : ""}`}
      style={{ left: `${(100 * spot.x) / sceneWidth}%`, top: `${(100 * spot.y) / sceneHeight}%` }}
      aria-label={
        check
          ? `${letterOf(at)}: ${name}, ${checkWords(check, app)}`
          : app.t("sheet.addCheck", { name })
      }
      data-testid={`spot-${spot.kind.replaceAll(" ", "-")}`}
      onClick={() => onPick(spot.kind)}
    >
      <span>{check ? letterOf(at) : "+"}</span>
    </button>
  );
}
