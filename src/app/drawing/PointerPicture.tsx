import { useApp } from "../context/app-context.ts";

interface PointerPictureProps {
  readonly reference?: number;
  readonly right?: number;
  readonly above?: number;
  readonly stand?: readonly number[];
}

/** Which pointer board is held where: its tip on the target's middle, to the right of it, above it. */
export function PointerPicture(props: PointerPictureProps) {
  const { reference = 41, right = 42, above = 43, stand = [31, 32] } = props;
  const { t } = useApp();
  const pointer = (x: number, y: number, id: number) => (
    <g key={id}>
      <path className="board" d={`M${x - 15} ${y + 9}h30v30h-30z`} />
      <path className="asked" d={`M${x} ${y}l-7 9h14z`} />
      <text x={x} y={y + 29} textAnchor="middle" className="sheet-drawing-value">
        {id}
      </text>
    </g>
  );
  return (
    <svg
      className="target-drawing"
      viewBox="0 0 360 170"
      role="img"
      aria-label={t("target.pointersHeard", { reference, right, above })}
    >
      <path className="visible" d="M90 24h180v100H90z" />
      <path className="centre" d="M180 14v120M80 74h200" />
      {stand.slice(0, 2).map((id, at) => (
        <g key={id}>
          <path className="board" d={`M${at === 0 ? 38 : 284} 55h38v38h-38z`} />
          <text x={at === 0 ? 57 : 303} y={80} textAnchor="middle" className="sheet-drawing-value">
            {id}
          </text>
        </g>
      ))}
      <path className="fine-strong" d="M180 124v34M150 158h60M76 74H90M270 74h14" />
      {pointer(180, 74, reference)}
      {pointer(250, 74, right)}
      {pointer(180, 26, above)}
      <text x={6} y={14} className="sheet-drawing-word">
        {t("target.viewFront")}
      </text>
    </svg>
  );
}
