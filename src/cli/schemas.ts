/** `npm run schemas`: writes the JSON Schema of every file format next to the formats' sources. */
import { mkdirSync, writeFileSync } from "node:fs";
import { publishedSchemas } from "../job/schemas.ts";

mkdirSync("src/job/schemas", { recursive: true });
for (const [name, schema] of Object.entries(publishedSchemas())) {
  const file = `src/job/schemas/${name}.schema.json`;
  writeFileSync(file, `${JSON.stringify(schema, null, 2)}\n`);
  console.log(file);
}
