/** Forms generated from schemas: every field of every file has a field on the screen. */
import { expect, test } from "vitest";
import { sheetSchema, statementsSchema } from "../../../src/app/forms/form-schemas.ts";
import { type JsonSchema, resolve, shapeOf } from "../../../src/app/forms/json-schema.ts";

/** Paths of all fields with the kind of field that shows them. */
function fieldsOf(schema: JsonSchema, root: JsonSchema, path = ""): [string, string][] {
  const resolved = resolve(schema, root);
  const shape = shapeOf(resolved, root);
  const inside = (parts: readonly JsonSchema[]) =>
    parts.flatMap((part, index) => fieldsOf(part, root, `${path}[${index}]`));
  switch (shape.kind) {
    case "group":
      return Object.entries(shape.schema.properties ?? {}).flatMap(([name, part]) =>
        fieldsOf(part, root, `${path}.${name}`),
      );
    case "list":
      return inside([shape.item]);
    case "tuple":
      return inside(shape.items);
    case "variants":
      return inside(shape.variants);
    default:
      return [[path, shape.kind]];
  }
}

test.each([
  ["placement sheet", sheetSchema(), 100],
  ["statements of a job", statementsSchema(), 20],
])("%s: no field is left out", (_name, schema, least) => {
  const fields = fieldsOf(schema, schema);
  expect(fields.length).toBeGreaterThan(least);
  expect(fields.filter(([, kind]) => kind === "unknown")).toEqual([]);
});

test("an open tolerance is a number that may stay empty", () => {
  expect(shapeOf({ type: ["number", "null"] }, {})).toEqual({ kind: "number", optional: true });
  expect(shapeOf({ anyOf: [{ type: "number" }, { type: "null" }] }, {})).toEqual({
    kind: "number",
    optional: true,
  });
});
