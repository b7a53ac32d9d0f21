import { useApp } from "../context/app-context.ts";

const floor = [
  [11, 70, 190],
  [12, 290, 190],
  [13, 290, 40],
  [14, 70, 40],
] as const;
const raised = [
  [31, 36, 224],
  [32, 324, 8],
] as const;
const bar = [
  [51, 120, 115],
  [52, 240, 115],
] as const;

/** Plan of what a shop lays out for its acceptance test, with the lengths to measure. */
export function AcceptancePicture() {
  const { t, show } = useApp();
  const board = ([id, x, y]: readonly [number, number, number]) => (
    <g key={id}>
      <path className="board" d={`M${x - 17} ${y - 13}h34v26h-34z`} />
      <text x={x} y={y + 6} textAnchor="middle" className="sheet-drawing-value">
        {id}
      </text>
    </g>
  );
  return (
    <svg
      className="target-drawing"
      viewBox="0 -12 360 260"
      role="img"
      aria-label={t("accept.layHeard", { side: show(2000, "length", 0) })}
    >
      <path
        className="fine-strong"
        d="M70 190H290M70 190L290 40M290 190L70 40M290 40H70M70 190L36 224M290 40L324 8M70 190L324 8"
      />
      <path className="visible" d="M120 115H240" />
      {[...floor, ...raised, ...bar].map(board)}
    </svg>
  );
}
