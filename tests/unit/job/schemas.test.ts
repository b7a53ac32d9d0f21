import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { programVersion } from "../../../src/job/result/version.ts";
import { publishedSchemas } from "../../../src/job/schemas.ts";

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

  test("name the fields that a file must have, and refuse others where the program does", () => {
    const schemas = publishedSchemas() as Record<
      string,
      { required: string[]; additionalProperties?: boolean }
    >;
    expect(schemas["plumbshot-placement"].required).toEqual(
      expect.arrayContaining(["format", "version", "origin", "axis", "heightReference", "steps"]),
    );
    expect(schemas["plumbshot-targets"].required).toContain("targets");
    for (const name of ["plumbshot-job", "plumbshot-placement", "plumbshot-teach"])
      expect(schemas[name].additionalProperties, name).toBe(false);
  });

  test("the version in results is the package's", () => {
    expect(programVersion).toBe(JSON.parse(readFileSync("package.json", "utf8")).version);
  });
});
