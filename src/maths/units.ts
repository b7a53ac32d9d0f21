/**
 * Numbers with their unit, for the borders between rooms: what takes radians refuses degrees, and
 * the other way round. A number without a unit fits anywhere, since arithmetic forgets it. Types only:
 * nothing of this exists when the code runs.
 */
declare const unit: unique symbol;

type In<Unit extends string> = number & { readonly [unit]?: Unit };

export type Radians = In<"rad">;
export type Degrees = In<"deg">;
export type Millimetres = In<"mm">;
export type Pixels = In<"px">;
