import { readFileSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, it } from "vitest";
import { cyclesIn } from "../../tools/house/cycles.ts";
import { drawingOf, drawnIn } from "../../tools/house/drawing.ts";
import { type House, problemsOf } from "../../tools/house/problems.ts";
import { rooms } from "../../tools/house/rooms.ts";
import { readSources, sourceOf } from "../../tools/house/sources.ts";

const root = join(import.meta.dirname, "../../..");

const house: House = {
  "src/low": { may: [], packages: [], what: "" },
  "src/high": { may: ["src/low"], inner: ["first", "."], packages: [], what: "" },
  "src/shell": { may: ["src/low", "src/high"], packages: null, what: "" },
};
const problems = (files: Readonly<Record<string, string>>): string[] =>
  problemsOf(
    house,
    Object.entries(files).map(([path, text]) => sourceOf(path, text)),
  );

describe("the check of the house", () => {
  it("lets imports pass that go down", () => {
    expect(
      problems({
        "src/low/a.ts": "export const a = 1;",
        "src/high/first/b.ts": 'import { a } from "../../low/a.ts";',
        "src/high/c.ts": 'import { b } from "./first/b.ts";\nimport { z } from "zod";',
        "src/shell/d.ts": 'import { c } from "../high/c.ts";\nimport React from "react";',
      }),
    ).toEqual([]);
  });

  it("refuses imports against the direction, between rooms and inside one", () => {
    expect(problems({ "src/low/a.ts": 'import type { c } from "../high/c.ts";' })).toEqual([
      "src/low/a.ts imports src/high/c.ts: against the direction of the design",
    ]);
    expect(problems({ "src/high/first/b.ts": 'export { c } from "../c.ts";' })).toEqual([
      "src/high/first/b.ts imports src/high/c.ts: an inner room above its own",
    ]);
    expect(problems({ "src/low/a.ts": 'const c = await import("../shell/d.ts");' })).toHaveLength(
      1,
    );
  });

  it("refuses folders that are not declared, packages, clocks and chance in pure rooms", () => {
    expect(problems({ "src/high/other/b.ts": "" })).toHaveLength(1);
    expect(problems({ "src/attic/b.ts": "" })).toHaveLength(1);
    expect(problems({ "src/low/a.ts": 'import React from "react";' })).toHaveLength(1);
    expect(problems({ "src/low/a.ts": "export const now = Date.now();" })).toHaveLength(1);
    expect(problems({ "src/low/a.ts": "/* not Math.random here */" })).toEqual([]);
    expect(problems({ "src/shell/a.ts": "export const now = Date.now();" })).toEqual([]);
  });

  it("finds cycles of files, also those of types", () => {
    const found = problems({
      "src/low/a.ts": 'import type { B } from "./b.ts";',
      "src/low/b.ts": 'import type { A } from "./a.ts";',
    });
    expect(found).toEqual(["cycle of files: src/low/a.ts, src/low/b.ts"]);
  });

  it("finds cycles of folders where no files form one", () => {
    const loose: House = { "src/x": { may: [], inner: ["one", "two"], packages: [], what: "" } };
    const sources = [
      sourceOf("src/x/one/a.ts", ""),
      sourceOf("src/x/one/b.ts", 'import "../two/a.ts";'),
      sourceOf("src/x/two/a.ts", 'import "../one/a.ts";'),
    ];
    expect(problemsOf(loose, sources)).toContain("cycle of folders: src/x/one, src/x/two");
  });
});

it("names every cycle of a graph once", () => {
  const graph = new Map(
    Object.entries({ a: ["b"], b: ["c"], c: ["a", "d"], d: ["e"], e: ["d"], f: ["a"] }).map(
      ([node, next]) => [node, new Set(next)],
    ),
  );
  expect(cyclesIn(graph)).toEqual([
    ["d", "e"],
    ["a", "b", "c"],
  ]);
});

it("the drawing of the parts in DEVELOPERS.md is made from the code (npm run docs:house)", () => {
  const sources = readSources(root, ["src", "workers"]);
  const text = readFileSync(join(root, "DEVELOPERS.md"), "utf8");
  expect(drawnIn(text)).toBe(drawingOf(rooms, sources));
});

it("no folder of the code is a hall", () => {
  const counts = new Map<string, number>();
  for (const { path } of readSources(root, ["src", "workers"])) {
    const folder = path.slice(0, path.lastIndexOf("/"));
    counts.set(folder, (counts.get(folder) ?? 0) + 1);
  }
  const halls = [...counts].filter(
    ([folder, count]) => count > mostFiles && !catalogues.includes(folder),
  );
  expect(halls).toEqual([]);
});

/** About fifteen: a folder is read by its names, and more are not taken in at a glance. */
const mostFiles = 17;
/** Texts, one file a stage: found by the stage's name. */
const catalogues = ["src/app/i18n/en", "src/app/i18n/es"];
