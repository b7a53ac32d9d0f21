import type { RemarkCode } from "../../job/result/remark-codes.ts";
import type { Remark as AnyRemark } from "../../say/remark.ts";

/** Codes of the remarks about an acceptance test; those of its photos and boards are the job's own. */
export type AcceptanceCode =
  | "accept-few-lengths"
  | "accept-few-directions"
  | "accept-short"
  | "accept-flat"
  | "accept-one-round"
  | "accept-round-failed"
  | "accept-length-unseen"
  | "accept-same-instrument"
  | "accept-zero-error"
  | "accept-scale-error"
  | "accept-instruments-disagree"
  | "accept-scatter"
  | "accept-board-moved"
  | "accept-one-person";

export type AcceptanceRemark = AnyRemark<AcceptanceCode | RemarkCode>;

/**
 * What a remark does to the outcome. `spoils`: the test itself is in doubt, so that errors found are
 * laid to nobody; `too little`: errors count, but a pass is not shown; `says`: information.
 */
export type AcceptanceConsequence = "spoils" | "too little" | "says";

export const acceptanceConsequences: Readonly<Record<AcceptanceCode, AcceptanceConsequence>> = {
  "accept-few-lengths": "too little",
  "accept-few-directions": "too little",
  "accept-short": "too little",
  "accept-flat": "says",
  "accept-one-round": "too little",
  "accept-round-failed": "too little",
  "accept-length-unseen": "too little",
  "accept-same-instrument": "too little",
  "accept-zero-error": "spoils",
  "accept-scale-error": "says",
  "accept-instruments-disagree": "spoils",
  "accept-scatter": "says",
  "accept-board-moved": "spoils",
  "accept-one-person": "says",
};
