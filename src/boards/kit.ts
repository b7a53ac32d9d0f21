/**
 * The kit: which tag id has which job. The role comes from the id and stands in words on the print,
 * so nobody assigns anything; a job file may override it.
 */

export type WheelPlace = "FL" | "FR" | "RL" | "RR";

export type Role =
  | { readonly kind: "wheel plate"; readonly wheel: WheelPlace }
  | { readonly kind: "floor point"; readonly number: number }
  | { readonly kind: "stand"; readonly number: number }
  | { readonly kind: "pointer"; readonly number: number }
  /** The two boards with the same bar number sit at the ends of one bar of known length. */
  | { readonly kind: "length bar"; readonly bar: number; readonly end: 1 | 2 };

export type RoleKind = Role["kind"];

const wheels: readonly WheelPlace[] = ["FL", "FR", "RL", "RR"];

const wheelWords: Readonly<Record<WheelPlace, string>> = {
  FL: "front left",
  FR: "front right",
  RL: "rear left",
  RR: "rear right",
};

/** First and last id of every role, in the order of the printed kit. */
export const kitRanges: readonly {
  readonly kind: RoleKind;
  readonly first: number;
  readonly last: number;
}[] = [
  { kind: "wheel plate", first: 1, last: 4 },
  { kind: "floor point", first: 11, last: 29 },
  { kind: "stand", first: 31, last: 39 },
  { kind: "pointer", first: 41, last: 49 },
  { kind: "length bar", first: 51, last: 58 },
];

/** Ids of every board of the kit, ascending. */
export const kitIds: readonly number[] = kitRanges.flatMap(({ first, last }) =>
  Array.from({ length: last - first + 1 }, (_, i) => first + i),
);

/** The role that the kit gives to a tag id; null when the id is not in the kit. */
export function roleOf(id: number): Role | null {
  if (!Number.isInteger(id)) return null;
  const range = kitRanges.find(({ first, last }) => id >= first && id <= last);
  if (!range) return null;
  const number = id - range.first + 1;
  switch (range.kind) {
    case "wheel plate":
      return { kind: "wheel plate", wheel: wheels[number - 1] };
    case "length bar":
      return { kind: "length bar", bar: (number + 1) >> 1, end: number % 2 === 1 ? 1 : 2 };
    default:
      return { kind: range.kind, number };
  }
}

/** Role in words, as printed: "Wheel plate, front left"; "Length bar 1, end 2". */
export function roleWords(role: Role): string {
  switch (role.kind) {
    case "wheel plate":
      return `Wheel plate, ${wheelWords[role.wheel]}`;
    case "floor point":
      return `Floor point ${role.number}`;
    case "stand":
      return `Stand and target ${role.number}`;
    case "pointer":
      return `Pointer ${role.number}`;
    case "length bar":
      return `Length bar ${role.bar}, end ${role.end}`;
  }
}

/** "board 3 (wheel plate, rear left)": how a message names a board; "board 77" outside the kit. */
export function boardWords(id: number): string {
  const role = roleOf(id);
  if (!role) return `board ${id}`;
  const words = roleWords(role);
  return `board ${id} (${words[0].toLowerCase()}${words.slice(1)})`;
}

/**
 * The tip of a pointer board in its board frame, cells: the end of the upper centre tick, on the
 * upper cut line. Held on a point for one photo, it teaches the tool where that point is.
 */
export const pointerTip: readonly [number, number] = [0, 9];
