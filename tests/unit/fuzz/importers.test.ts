/** A share of `npm run bench:fuzz`: spoilt files end in an answer, never in a crash. */
import { describe, expect, test } from "vitest";
import { readJson } from "../../../src/job/file/bounded-json.ts";
import { decodePhoto } from "../../../src/photo/decode.ts";
import { verifyDocument } from "../../../src/record/verify/verify-document.ts";
import { importers } from "../../fuzz/importers.ts";
import { runImporter } from "../../fuzz/run-importer.ts";
import { writeFlatJpeg } from "../../tools/tiny-jpeg.ts";

describe("spoilt files", () => {
  test.each(importers)("$name", async (importer) => {
    const { cases, crashes } = await runImporter(importer, 40 * importer.share, 20261130);
    expect(crashes).toEqual([]);
    expect(cases).toBe(40 * importer.share);
  });
});

describe("bounds", () => {
  test("deep, large and poisonous JSON is refused before it is used", () => {
    const deep = `${"[".repeat(200_000)}${"]".repeat(200_000)}`;
    expect(readJson(deep)).toMatchObject({ ok: false, problem: "too deep" });
    expect(readJson(`"${"x".repeat(33_000_000)}"`)).toMatchObject({ problem: "too large" });
    expect(readJson('[{"\\u005f_proto__":{"polluted":true}}]')).toMatchObject({
      problem: "forbidden name",
    });
    const { findings } = verifyDocument(new TextEncoder().encode(deep), "" as never, "deep.json");
    expect(findings.map(({ code }) => code)).toEqual(["finding.notJson"]);
    expect(readJson('{"brackets":"[[[[\\"[[["}')).toMatchObject({ ok: true });
  });

  test("a picture that says it is larger than its file can be costs no memory to speak of", () => {
    const bytes = writeFlatJpeg(64, 64, () => 128);
    const frame = bytes.findIndex((byte, at) => byte === 0xff && bytes[at + 1] === 0xc0);
    const view = new DataView(bytes.buffer, bytes.byteOffset);
    view.setUint16(frame + 5, 65_535);
    view.setUint16(frame + 7, 65_535);
    const huge = decodePhoto(bytes, "bomb.jpg");
    expect(huge).toMatchObject({ ok: false, remark: { code: "photo-too-large" } });
    view.setUint16(frame + 5, 12_000);
    view.setUint16(frame + 7, 16_000);
    const start = performance.now();
    const bomb = decodePhoto(bytes, "bomb.jpg");
    expect(bomb.ok).toBe(false);
    expect(performance.now() - start).toBeLessThan(10_000);
  });
});
