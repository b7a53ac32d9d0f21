import { UnusableInput } from "./job-folder.ts";
import { complain } from "./terminal.ts";

interface Said {
  readonly message: string;
  readonly remedy: string;
}

/** Remarks on standard error, a line for each. */
export const say = (remarks: readonly Said[]): void => {
  for (const { message, remedy } of remarks) complain(`${message} ${remedy}`.trimEnd());
};

/** Says on standard error why there is no result, a line for each reason; the exit status for it. */
export const refuse = (remarks: readonly Said[]): number => {
  say(remarks);
  return 2;
};

/** Runs a command that ends with `close`; unusable input ends in its reason and exit status 2. */
export const orUnusable = async (
  command: () => Promise<number>,
  close: () => void,
): Promise<number> => {
  try {
    return await command();
  } catch (error) {
    if (!(error instanceof UnusableInput)) throw error;
    complain(error.message);
    return 2;
  } finally {
    close();
  }
};
