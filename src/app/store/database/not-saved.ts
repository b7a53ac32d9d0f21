/** What a write was about, in the words that the screen has for it. */
export const savedThings = [
  "job",
  "photo",
  "findings",
  "result",
  "camera",
  "settings",
  "profile",
  "sheet",
  "target",
  "revision",
  "attachment",
  "key",
  "backup",
  "deletion",
] as const;
export type SavedThing = (typeof savedThings)[number];

/** A write that the browser refused: says what was not saved, and why. */
export class NotSaved extends Error {
  /** `called` tells the thing from others of its kind; empty where there is only one. */
  constructor(
    readonly thing: SavedThing,
    readonly called: string,
    override readonly cause: unknown,
  ) {
    super(`${thing} ${called} was not saved: ${reasonOf(cause)}`);
    this.name = "NotSaved";
  }
}

/** Runs a write; a refusal ends as {@link NotSaved}. */
export async function saving<T>(
  thing: SavedThing,
  called: string,
  write: () => Promise<T>,
): Promise<T> {
  try {
    return await write();
  } catch (error) {
    throw error instanceof NotSaved ? error : new NotSaved(thing, called, error);
  }
}

/** True where a write failed because the device has no room left for this site. */
export function isQuotaError(error: unknown): boolean {
  const cause = error instanceof NotSaved ? error.cause : error;
  return cause instanceof DOMException && cause.name === "QuotaExceededError";
}

/** Why something failed, as far as the browser says. */
export const reasonOf = (error: unknown): string =>
  error instanceof Error || error instanceof DOMException
    ? error.message || error.name
    : String(error);
