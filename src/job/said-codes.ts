import type { QualityCode } from "../detection/quality.ts";
import type { GroupCode } from "../network/groups-apart.ts";
import type { AdviceCode } from "../placement/advice.ts";
import type { CrossCode } from "../placement/cross-check.ts";
import type { ReasonCode } from "../placement/field-reason.ts";
import type { LabelCode } from "../placement/words.ts";
import type { MethodCode } from "../vehicle/methods.ts";
import type { SwapCode } from "../vehicle/recognise.ts";
import type { StabilityCode } from "./stability.ts";

/** Every sentence of the engine that is no remark, by the part that says it. */
export type SaidCode =
  | QualityCode
  | GroupCode
  | MethodCode
  | SwapCode
  | LabelCode
  | AdviceCode
  | CrossCode
  | ReasonCode
  | StabilityCode;
