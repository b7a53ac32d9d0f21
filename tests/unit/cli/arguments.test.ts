import { afterEach, beforeEach, describe, expect, test, vi } from "vitest";
import { readArguments } from "../../../src/cli/arguments.ts";

/** What a command says about the way it was called. */
const help = { usage: "Usage: measure <folder> [--json]", text: "Measures a folder." };
const options = { json: { type: "boolean", default: false }, out: { type: "string" } } as const;
const out: string[] = [];
const err: string[] = [];

beforeEach(() => {
  vi.spyOn(console, "log").mockImplementation((text) => void out.push(text));
  vi.spyOn(console, "error").mockImplementation((text) => void err.push(text));
});
afterEach(() => {
  vi.restoreAllMocks();
  out.length = 0;
  err.length = 0;
});

const read = (...args: string[]) => readArguments(help, options, "one folder", args);

describe("the command line", () => {
  test("gives values and the one name", () => {
    expect(read("a", "--json")).toEqual({ ok: true, values: { json: true }, names: ["a"] });
    expect(out.length + err.length).toBe(0);
  });

  test.each(["--help", "-h"])("%s prints the help, and nothing is wrong", (flag) => {
    expect(read("a", flag, "--nonsense")).toEqual({ ok: false, status: 0 });
    expect(out).toEqual([`${help.usage}\n\n${help.text}`]);
    expect(err).toEqual([]);
  });

  test.each<[string[], string]>([
    [[], "Name one folder."],
    [["a", "b"], "Name one folder; these are 2: a, b."],
    [["a", "--jsn"], "Unknown option '--jsn'."],
    [["a", "--out"], "Option '--out <value>' argument missing."],
    [["a", "--json=yes"], "Option '--json' does not take an argument."],
  ])("%j is said in one sentence before the usage", (args, sentence) => {
    expect(read(...args)).toEqual({ ok: false, status: 2 });
    expect(err).toEqual([`${sentence}\n${help.usage}`]);
  });

  test("a command without names takes none", () => {
    expect(readArguments(help, options, null, ["extra"])).toEqual({ ok: false, status: 2 });
    expect(err[0]).toContain("Unexpected argument 'extra'.");
  });
});
