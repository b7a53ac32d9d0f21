import type { RemarkCode } from "../../src/job/result/remark-codes.ts";
import type { SaidValues } from "../../src/say/remark.ts";
import { stand, wheels } from "./change.ts";
import type { Fault } from "./fault.ts";

/** A remark as it was said. */
export interface Told {
  readonly code: string;
  readonly message: string;
  readonly remedy: string;
  readonly values?: SaidValues;
}

/** What names a fault: a code alone, or a code with some of its values. */
export type Name =
  | RemarkCode
  | { readonly code: RemarkCode; readonly values: Readonly<Record<string, string>> };

/** Ways to say that something is wrong with one of these boards, in one photo or in all. */
export const ofBoards = (...ids: readonly number[]): Name[] =>
  ids.flatMap((id) => {
    const values = { board: String(id) };
    const codes = [...blaming, "does-not-fit", "given-less-weight", "last-view-odd"] as const;
    return codes.map((code) => ({ code, values }));
  });

/** Ways to say that car or stand moved as a whole, or one of its boards. */
export const ofBody = (body: "car" | "stand", ...ids: readonly number[]): Name[] => [
  { code: "body-moved", values: { body } },
  { code: "body-placed-again", values: { body } },
  ...ofBoards(...ids),
];

/** Ways to say that something is wrong in one of these photos of the bay, counted from 0. */
export const ofPhotos = (...which: readonly number[]): Name[] =>
  which.flatMap((i) => {
    const values = { photo: `bay-${String(i + 1).padStart(2, "0")}.jpg` };
    const codes = ["photo-altered", "does-not-fit", "given-less-weight", "last-view-odd"] as const;
    return codes.map((code) => ({ code, values }));
  });

/** Ways to say that most photos share this cause of misfit. */
export const shared = (...causes: readonly string[]): Name[] =>
  causes.flatMap((cause) =>
    (["misfit-shared", "misfit-large"] as const).map((code) => ({ code, values: { cause } })),
  );

/** A statement of this kind contradicts the photos, about one of these boards where any are given. */
export const ofStatement = (source: string, ...ids: readonly number[]): Name[] =>
  ids.length === 0
    ? [{ code: "statement-does-not-fit", values: { source } }]
    : ids.map((id) => ({
        code: "statement-does-not-fit",
        values: { source, boards: String(id) },
      }));

/** Codes that accuse a whole board: to say them of an innocent one sends a technician astray. */
const blaming = ["board-moved", "unsteady", "board-two-places", "board-scaled"] as const;

/** The right cause is said, and no innocent board is accused. */
export const isNamed = (fault: Fault, remarks: readonly Told[]): boolean =>
  remarks.some((remark) => fault.said.some((name) => fits(name, remark))) &&
  !remarks.some((remark) => accusesInnocent(fault, remark));

const fits = (name: Name, { code, values }: Told): boolean =>
  typeof name === "string"
    ? name === code
    : name.code === code &&
      Object.entries(name.values).every(([key, wanted]) => asList(values?.[key]).includes(wanted));

const asList = (value: unknown): string[] =>
  Array.isArray(value) ? value.map(String) : [String(value)];

/** Boards of a body: to say that it moved accuses all of them. */
const boardsOf: Readonly<Record<string, readonly number[]>> = { car: wheels, stand };

const accusesInnocent = ({ guilty }: Fault, { code, values }: Told): boolean => {
  if (guilty === undefined) return false;
  if (code === "body-moved" || code === "body-placed-again")
    return !boardsOf[String(values?.body)].every((id) => guilty.includes(id));
  if (code === "boards-of-two-prints")
    return !asList(values?.boards).every((id) => guilty.includes(Number(id)));
  return (
    (blaming as readonly string[]).includes(code) &&
    !guilty.some((id) => asList(values?.board).includes(String(id)))
  );
};
