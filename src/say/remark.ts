/** What a sentence's gaps are filled with: millimetres, degrees, plain numbers, names, ids. */
export type SaidValue = string | number | readonly string[] | readonly number[] | readonly Said[];
export type SaidValues = Readonly<Record<string, SaidValue>>;

/** An engine sentence as data, beside its English text: other languages are made from this. */
export interface Said<Code extends string = string> {
  readonly code: Code;
  readonly values?: SaidValues;
}

/** How far a check moves by what a remark tells. */
export interface RemarkCost {
  /** The check's id, and its label in English. */
  readonly check: string;
  readonly label: string;
  /** The label as data; absent where the sheet has its own words. */
  readonly said?: Said;
  /** Size of the change, mm or degrees. */
  readonly amount: number;
  readonly unit: "mm" | "deg";
  /** The same over the check's expanded uncertainty. */
  readonly share: number;
}

/**
 * A remark with a stable code for tests and translations, and a sentence for people. Every room
 * declares the codes that it uses (its `codes.ts`); this room knows none of them.
 */
export interface Remark<Code extends string> {
  readonly code: Code;
  readonly severity: "info" | "warning" | "error";
  readonly message: string;
  /** What to do about it, a sentence; empty where nothing can be done. */
  readonly remedy: string;
  /** File name, board or field the remark is about. */
  readonly about?: string;
  /** The numbers and names in message and remedy. */
  readonly values?: SaidValues;
  /** What it costs the check that it moves most; absent where it moves none. */
  readonly cost?: RemarkCost;
}

/** A remark as read from a file: another version of the program may have written it. */
export type StoredRemark = Remark<string>;
