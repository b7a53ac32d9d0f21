/** `npm run schemas`: writes the JSON Schema of every file format next to the formats' sources. */
import { mkdirSync, writeFileSync } from "node:fs";
import { acceptanceSchemas } from "../acceptance/schemas.ts";
import { publishedSchemas } from "../job/schemas.ts";
import { recordSchemas } from "../record/schemas.ts";
import { replicateSchemas } from "../replicate/schemas.ts";
import { watchSchemas } from "../watch/schemas.ts";

const write = (folder: string, schemas: Record<string, unknown>): void => {
  mkdirSync(folder, { recursive: true });
  for (const [name, schema] of Object.entries(schemas)) {
    const file = `${folder}/${name}.schema.json`;
    writeFileSync(file, `${JSON.stringify(schema, null, 2)}\n`);
    console.log(file);
  }
};

write("src/job/schemas", publishedSchemas());
write("src/watch/schemas", watchSchemas());
write("src/record/schemas", recordSchemas());
write("src/replicate/schemas", replicateSchemas());
write("src/acceptance/schemas", acceptanceSchemas());
