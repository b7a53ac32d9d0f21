import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { openCvParts } from "../../../src/app/pwa/build/opencv-parts.ts";

const script = "node_modules/@opencvjs/web/lib/opencv_js.js";

test("the library is taken to pieces: a small script and WebAssembly that is sound", () => {
  const source = readFileSync(script, "utf8");
  const parts = openCvParts(source);
  expect(parts.wasm.length).toBeGreaterThan(10e6);
  expect(parts.script.length).toBeLessThan(300_000);
  expect(parts.script).toContain("binaryDecode('')");
  expect(parts.script).toContain('Module["instantiateWasm"]');
});

test("a package that is made otherwise is refused", () => {
  expect(() => openCvParts("export default 1")).toThrow("no WebAssembly in the script");
  expect(() => openCvParts("binaryDecode('\0asm")).toThrow("does not end");
  expect(() => openCvParts("binaryDecode('\0asm\\n')")).toThrow("could not be read");
  expect(() => openCvParts("binaryDecode('\0asm\\t')")).toThrow("not known");
});
