import type { JobReasonCode } from "../../../job/file/parse-job.ts";
import type { RemarkPair } from "./text-types.ts";

/** Why an entry of a form is refused, in the form's own words; files keep the engine's sentences. */
const remarks = {
  "job-input": ["{field:path}: {reason:said}.", "Correct this entry."],
  "sheet-field": ["Placement sheet, {about:path}: {reason:said}.", "Correct this entry."],
} as const satisfies Readonly<Record<string, RemarkPair>>;

const said: Readonly<Record<JobReasonCode, string>> = {
  "reason: missing": "nothing is entered",
  "reason: kind":
    "{expected?number=a number|int=a whole number|string=a text|array=a list|object=a group of entries|boolean=yes or no|*=another kind of entry} is needed",
  "reason: least":
    "{of?text=the text is too short|list={inclusive?yes=at least|*=more than} {limit} needed|*=must be {inclusive?yes=at least|*=more than} {limit}}",
  "reason: most":
    "{of?text=the text is too long|list={inclusive?yes=at most|*=fewer than} {limit} allowed|*=must be {inclusive?yes=at most|*=less than} {limit}}",
  "reason: step": "must be a multiple of {limit}",
  "reason: form": "the text does not have the form that is expected",
  "reason: choice": "must be one of these: {choices:word}",
  "reason: unknown-field": 'there is no field "{names}"',
  "reason: variant": "is none of the possible forms",
  "reason: rule": "contradicts another entry",
  "reason: same-board": "the same board is named twice",
  "reason: same-name": '"{name}" is used twice',
  "reason: wheel-plate": "board {board} is a wheel plate",
  "reason: no-point": 'there is no plumb point "{name}"',
  "reason: levels": "the level for missing must be below the level for meeting",
};

export const refusalsEn = { remarks, said };
