import type { Covered } from "../../../store/records/covers.ts";

/** What is covered, drawn over a picture of any size; copies are covered in the same places. */
export function CoveredPlaces({ covered }: { readonly covered: readonly Covered[] }) {
  return (
    <svg viewBox="0 0 100 100" preserveAspectRatio="none" aria-hidden="true">
      {covered.map((box, index) => (
        <ellipse
          // biome-ignore lint/suspicious/noArrayIndexKey: places have no id; the last one goes first
          key={index}
          cx={50 * (box.left + box.right)}
          cy={50 * (box.top + box.bottom)}
          rx={65 * (box.right - box.left)}
          ry={72 * (box.bottom - box.top)}
        />
      ))}
    </svg>
  );
}
