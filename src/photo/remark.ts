/** A remark with a stable code for tests and translations, and a sentence for people. */
export interface Remark {
  readonly code: string;
  readonly severity: "info" | "warning" | "error";
  readonly message: string;
  /** What to do about it, a sentence; empty where nothing can be done. */
  readonly remedy: string;
  /** File name, board or field the remark is about. */
  readonly about?: string;
}
