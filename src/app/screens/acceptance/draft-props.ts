import type { AcceptanceDraft } from "../../store/acceptance.ts";

/** Each change starts from the latest draft, since photos come in one by one. */
export type ChangeDraft = (change: (draft: AcceptanceDraft) => AcceptanceDraft) => void;

export interface DraftProps {
  readonly draft: AcceptanceDraft;
  readonly change: ChangeDraft;
}
