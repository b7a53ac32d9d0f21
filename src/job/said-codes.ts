import type { GroupCode } from "../adjust/start/groups-apart.ts";
import type { QualityCode } from "../detect/quality/quality.ts";
import type { AdviceCode } from "../placement/decide/advice.ts";
import type { CrossCode } from "../placement/decide/cross-check.ts";
import type { LabelCode } from "../placement/words/words.ts";
import type { MethodCode } from "../vehicle/methods.ts";
import type { SwapCode } from "../vehicle/recognise.ts";
import type { StabilityCode } from "./epochs/stability.ts";
import type { JobReasonCode } from "./file/parse-job.ts";

/** A name that the sheet itself gives, in its own words. */
export type NamedCode = "as-named";

/** Every sentence of the engine that is no remark, by the part that says it. */
export type SaidCode =
  | NamedCode
  | QualityCode
  | GroupCode
  | MethodCode
  | SwapCode
  | LabelCode
  | AdviceCode
  | CrossCode
  | JobReasonCode
  | StabilityCode;
