import { placementSheetSchema } from "../../../placement/sheet/sheet.ts";

/** Free floor that a placement sheet asks for around the car, mm. */
export interface Space {
  readonly aheadMm: number;
  readonly leftMm: number;
  readonly rightMm: number;
}

/** Room to walk around a stand; common practice, no source. */
const walkRoomMm = 1000;
const halfCarMm = 950;

/** How far the targets of a sheet reach from the car, with room to walk; null without a sheet. */
export function spaceNeeded(sheet: unknown): Space | null {
  const parsed = placementSheetSchema.safeParse(sheet);
  if (!parsed.success) {
    return null;
  }
  const { steps } = parsed.data;
  const required = (kind: string): number[] =>
    steps.flatMap((step) =>
      step.checks.filter((check) => check.kind === kind).map((check) => check.required),
    );
  const halfWidths = steps.map((step) => (step.target.widthMm ?? 600) / 2);
  const half = Math.max(...halfWidths);
  const sides = required("lateral offset");
  return {
    aheadMm: Math.max(0, ...required("distance")) + walkRoomMm,
    leftMm: Math.max(halfCarMm, half + Math.max(0, ...sides)) + walkRoomMm,
    rightMm: Math.max(halfCarMm, half + Math.max(0, ...sides.map((side) => -side))) + walkRoomMm,
  };
}
