import { readFileSync } from "node:fs";
import { join } from "node:path";
import { expect, test } from "vitest";
import { openFastScan } from "../../../src/photo/jpeg/jpeg-scan-wasm.ts";
import { codeModule, compileAssembly } from "../../tools/build-wasm.ts";

test("the committed WebAssembly is what its source compiles to", async () => {
  const binary = await compileAssembly("src/photo/jpeg/assembly/jpeg-scan.ts");
  const committed = join(import.meta.dirname, "../../../src/photo/jpeg/jpeg-scan-code.ts");
  expect(readFileSync(committed, "utf8")).toBe(codeModule(binary));
});

test("the WebAssembly way is open here, so that the other tests compare both", () => {
  expect(openFastScan()).not.toBeNull();
});
