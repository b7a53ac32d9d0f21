import type { SaidValues } from "../../say/remark.ts";
import type { PlacementCode, Remark } from "./codes.ts";

const remarkOf =
  (severity: Remark["severity"]) =>
  (
    code: PlacementCode,
    about: string,
    message: string,
    remedy: string,
    values?: SaidValues,
  ): Remark => ({ code, values, severity, message, remedy, about });

/** Something for which a placement sheet, or what the job says of the car, cannot be used. */
export const error = remarkOf("error");

/** Something that looks like a slip. */
export const question = remarkOf("warning");
