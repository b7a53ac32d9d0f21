/** The part of JSON Schema that our own files use, and values that fit it. */
export interface JsonSchema {
  readonly type?: string | readonly string[];
  readonly description?: string;
  readonly default?: unknown;
  readonly const?: unknown;
  readonly enum?: readonly unknown[];
  readonly properties?: Readonly<Record<string, JsonSchema>>;
  readonly required?: readonly string[];
  readonly items?: JsonSchema;
  readonly prefixItems?: readonly JsonSchema[];
  readonly anyOf?: readonly JsonSchema[];
  readonly oneOf?: readonly JsonSchema[];
  readonly $ref?: string;
  readonly $defs?: Readonly<Record<string, JsonSchema>>;
}

/** Follows `$ref` within the same document. */
export function resolve(schema: JsonSchema, root: JsonSchema): JsonSchema {
  if (!schema.$ref) {
    return schema;
  }
  const name = schema.$ref.replace("#/$defs/", "");
  return resolve(root.$defs?.[name] ?? {}, root);
}

/** What a form shows for a schema. */
export type Shape =
  | { readonly kind: "fixed"; readonly value: unknown }
  | { readonly kind: "text" }
  | { readonly kind: "number"; readonly optional: boolean }
  | { readonly kind: "yesno" }
  | { readonly kind: "choice"; readonly values: readonly string[] }
  | { readonly kind: "list"; readonly item: JsonSchema }
  | { readonly kind: "tuple"; readonly items: readonly JsonSchema[] }
  | { readonly kind: "group"; readonly schema: JsonSchema }
  | { readonly kind: "variants"; readonly variants: readonly JsonSchema[]; readonly tag: string }
  | { readonly kind: "unknown" };

/** Tells the shape of a (resolved) schema. */
export function shapeOf(schema: JsonSchema, root: JsonSchema): Shape {
  if (schema.const !== undefined) {
    return { kind: "fixed", value: schema.const };
  }
  if (schema.enum) {
    return { kind: "choice", values: schema.enum.map(String) };
  }
  const options = schema.oneOf ?? schema.anyOf;
  if (options) {
    return shapeOfOptions(
      options.map((option) => resolve(option, root)),
      root,
    );
  }
  // Another way of writing "or null".
  if (Array.isArray(schema.type)) {
    const types: readonly string[] = schema.type;
    return shapeOfOptions(
      types.map((type) => ({ type })),
      root,
    );
  }
  if (schema.prefixItems) {
    return { kind: "tuple", items: schema.prefixItems };
  }
  switch (schema.type) {
    case "string":
      return { kind: "text" };
    case "number":
    case "integer":
      return { kind: "number", optional: false };
    case "boolean":
      return { kind: "yesno" };
    case "array":
      return { kind: "list", item: schema.items ?? {} };
    case "object":
      return { kind: "group", schema };
    default:
      return { kind: "unknown" };
  }
}

function shapeOfOptions(options: readonly JsonSchema[], root: JsonSchema): Shape {
  const real = options.filter((option) => option.type !== "null");
  if (real.length === 1) {
    const shape = shapeOf(real[0], root);
    return shape.kind === "number" ? { kind: "number", optional: true } : shape;
  }
  const tag = Object.keys(real[0]?.properties ?? {}).find((name) =>
    real.every((option) => option.properties?.[name]?.const !== undefined),
  );
  return tag ? { kind: "variants", variants: real, tag } : { kind: "unknown" };
}

/** A first value for a new entry: what the schema says, else the emptiest that fits. */
export function blankOf(schema: JsonSchema, root: JsonSchema): unknown {
  const resolved = resolve(schema, root);
  if (resolved.default !== undefined) {
    return resolved.default;
  }
  const shape = shapeOf(resolved, root);
  switch (shape.kind) {
    case "fixed":
      return shape.value;
    case "text":
      return "";
    case "number":
      return shape.optional ? null : 0;
    case "yesno":
      return false;
    case "choice":
      return shape.values[0];
    case "list":
      return [];
    case "tuple":
      return shape.items.map((item) => blankOf(item, root));
    case "group":
      return Object.fromEntries(
        (shape.schema.required ?? []).map((name) => [
          name,
          blankOf(shape.schema.properties?.[name] ?? {}, root),
        ]),
      );
    case "variants":
      return blankOf(shape.variants[0], root);
    case "unknown":
      return null;
  }
}
