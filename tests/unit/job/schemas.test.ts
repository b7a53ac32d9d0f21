import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { publishedSchemas } from "../../../src/job/schemas.ts";
import { programVersion } from "../../../src/job/version.ts";

describe("published JSON Schemas", () => {
  test("are what the sources say (npm run schemas writes them)", () => {
    const published = publishedSchemas();
    const files = readdirSync("src/job/schemas").sort();
    expect(files).toEqual(
      Object.keys(published)
        .map((name) => `${name}.schema.json`)
        .sort(),
    );
    for (const [name, schema] of Object.entries(published)) {
      const text = readFileSync(`src/job/schemas/${name}.schema.json`, "utf8");
      expect(JSON.parse(text), name).toEqual(JSON.parse(JSON.stringify(schema)));
    }
  });

  test("the version in results is the package's", () => {
    expect(programVersion).toBe(JSON.parse(readFileSync("package.json", "utf8")).version);
  });
});
