import { type ParseArgsConfig, parseArgs } from "node:util";
import { complain } from "./terminal.ts";

/** How a command is called and what it does, as `--help` prints it. */
export interface Help {
  readonly usage: string;
  /** Further lines: what it does, its options, its exit status. */
  readonly text: string;
}

type Options = NonNullable<ParseArgsConfig["options"]>;
type Values<O extends Options> = ReturnType<typeof parseArgs<{ options: O }>>["values"];

export type Arguments<O extends Options> =
  | { readonly ok: true; readonly values: Values<O>; readonly names: readonly string[] }
  | { readonly ok: false; readonly status: number };

/**
 * Reads the command line. `names` says what must be named besides options, for instance "one job
 * folder"; null where nothing may be. Asked for help it prints it (status 0); what cannot be
 * understood is said on standard error together with the usage (status 2).
 */
export const readArguments = <O extends Options>(
  help: Help,
  options: O,
  names: string | null,
  args: readonly string[] = process.argv.slice(2),
): Arguments<O> => {
  if (args.includes("--help") || args.includes("-h")) {
    console.log(`${help.usage}\n\n${help.text}`);
    return { ok: false, status: 0 };
  }
  try {
    const parsed = parseArgs({ args: [...args], options, allowPositionals: names !== null });
    if (names !== null && parsed.positionals.length !== 1)
      return misunderstood(help, countWords(names, parsed.positionals));
    return { ok: true, values: parsed.values as Values<O>, names: parsed.positionals };
  } catch (error) {
    return misunderstood(help, plainReason(error));
  }
};

const countWords = (wanted: string, given: readonly string[]): string =>
  given.length === 0
    ? `Name ${wanted}.`
    : `Name ${wanted}; these are ${given.length}: ${given.join(", ")}.`;

const misunderstood = (help: Help, reason: string): { ok: false; status: number } => {
  complain(`${reason}\n${help.usage}`);
  return { ok: false, status: 2 };
};

/** The first sentence of Node's message: the rest explains how a shell passes arguments. */
const plainReason = (error: unknown): string => {
  const [first] = String(error instanceof Error ? error.message : error).split(". ");
  return `${first.replace(/\.$/, "")}.`;
};
