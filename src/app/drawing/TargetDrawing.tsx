import { useApp } from "../context/app-context.ts";

/**
 * The target seen from the front, with its boards and the dimensions of one of them; below it the
 * same from above. Boards whose numbers are missing stand where they usually are.
 */
interface TargetDrawingProps {
  readonly widthMm?: number;
  readonly heightMm?: number;
  readonly boards: readonly {
    readonly board: number;
    readonly centreMm: readonly (number | null)[];
  }[];
  /** Board that is being filled in. */
  readonly open: number | null;
}

const paper = { width: 360, height: 236 } as const;
const middle = { x: 180, y: 88 } as const;
/** Where the face lies in the view from above. */
const aboveY = 196;

export function TargetDrawing({ widthMm, heightMm, boards, open }: TargetDrawingProps) {
  const { t, showStated } = useApp();
  const width = widthMm ?? 600;
  const height = heightMm ?? 460;
  const reach = Math.max(width / 2, ...boards.map(({ centreMm }) => Math.abs(centreMm[0] ?? 450)));
  const rise = Math.max(height / 2, ...boards.map(({ centreMm }) => Math.abs(centreMm[1] ?? 0)));
  const scale = Math.min(140 / (reach + 90), 70 / (rise + 30));
  const at = (board: TargetDrawingProps["boards"][number], index: number) => ({
    x: middle.x + scale * (board.centreMm[0] ?? (index % 2 === 0 ? -450 : 450)),
    y: middle.y - scale * (board.centreMm[1] ?? 20),
    front: 10 + scale * Math.abs(board.centreMm[2] ?? 15),
  });
  const half = 91 * scale;
  const shown = boards.findIndex(({ board }) => board === open);
  return (
    <svg
      className="target-drawing"
      viewBox={`0 0 ${paper.width} ${paper.height}`}
      aria-hidden="true"
      focusable="false"
    >
      <text x={6} y={14} className="sheet-drawing-word">
        {t("target.viewFront")}
      </text>
      <text x={6} y={176} className="sheet-drawing-word">
        {t("sheet.viewAbove")}
      </text>
      <path
        className="visible"
        d={`M${middle.x - (scale * width) / 2} ${middle.y - (scale * height) / 2}h${scale * width}v${scale * height}h${-scale * width}zM${middle.x - (scale * width) / 2} ${aboveY}h${scale * width}`}
      />
      <path className="centre" d={`M${middle.x} 18V220M20 ${middle.y}H340`} />
      {boards.map((board, index) => {
        const { x, y, front } = at(board, index);
        return (
          <g key={board.board}>
            <path
              className="board"
              d={`M${x - half} ${y - half}h${2 * half}v${2 * half}h${-2 * half}zM${x - half} ${aboveY + front}h${2 * half}`}
            />
            <text x={x} y={y + 5} textAnchor="middle" className="sheet-drawing-value halo">
              {board.board}
            </text>
          </g>
        );
      })}
      {shown >= 0 ? (
        <Dimensions
          {...at(boards[shown], shown)}
          half={half}
          words={boards[shown].centreMm.map((part) =>
            part === null ? "?" : showStated(Math.abs(part), "length"),
          )}
        />
      ) : null}
    </svg>
  );
}

function Dimensions(props: {
  readonly x: number;
  readonly y: number;
  readonly front: number;
  readonly half: number;
  readonly words: readonly string[];
}) {
  const { x, y, front, half, words } = props;
  const out = x < middle.x ? -1 : 1;
  const side = x + out * (half + 12);
  return (
    <g>
      <path
        className="asked"
        d={`M${middle.x} 160H${x}M${middle.x} 155v10M${x} ${y}V165M${side} ${middle.y}V${y}M${side - 5} ${middle.y}h10M${side - 5} ${y}h10M${side} ${aboveY}v${front}M${side - 5} ${aboveY}h10M${side - 5} ${aboveY + front}h10`}
      />
      <text x={(middle.x + x) / 2} y={154} textAnchor="middle" className="sheet-drawing-value halo">
        {words[0]}
      </text>
      <text
        x={side + out * 4}
        y={Math.min(y, middle.y) - 6}
        textAnchor="middle"
        className="sheet-drawing-value halo"
      >
        {words[1]}
      </text>
      <text
        x={side}
        y={aboveY + front + 16}
        textAnchor="middle"
        className="sheet-drawing-value halo"
      >
        {words[2]}
      </text>
    </g>
  );
}
