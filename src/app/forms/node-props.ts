import type { Quantity } from "../i18n/units.ts";
import type { JsonSchema } from "./json-schema.ts";

export type Group = Readonly<Record<string, unknown>>;

/** One field of a generated form, whatever its shape. */
export interface NodeProps {
  readonly name: string;
  /** What an entry of a list calls itself; else the name decides. */
  readonly title?: string;
  readonly schema: JsonSchema;
  readonly root: JsonSchema;
  readonly value: unknown;
  readonly onChange: (value: unknown) => void;
  readonly required: boolean;
  /** Unit of plain numbers, where the surrounding group decides it (kind of check). */
  readonly quantityHint: Quantity | null;
}

/** The fields of a group. */
export interface GroupProps {
  readonly schema: JsonSchema;
  readonly root: JsonSchema;
  readonly value: Group;
  readonly onChange: (value: unknown) => void;
  readonly hide?: readonly string[];
  readonly quantityHint: Quantity | null;
}
