import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { crc32 as zlibCrc32 } from "node:zlib";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { crc32 } from "../../../src/record/archive/zip-layout.ts";
import { canonicalText, type Json } from "../../../src/record/canonical.ts";
import { csvOf } from "../../../src/record/csv.ts";
import { differences } from "../../../src/record/differences.ts";
import { openPoints } from "../../../src/record/open-points.ts";
import { type RecordContent, readRevision } from "../../../src/record/revision.ts";
import { recordSchemas } from "../../../src/record/schemas.ts";
import { brokenSeals, sealsOf } from "../../../src/record/seals.ts";
import { hashOf } from "../../../src/record/sha256.ts";
import {
  inventedArchive,
  inventedContent,
  inventedRevisions,
} from "../../tools/invented-record.ts";

describe("canonical JSON", () => {
  // RFC 8785, section 3.2.2 (input) and 3.2.3 (output), and numbers of its appendix B; from memory.
  test("the example of RFC 8785", () => {
    const input = JSON.parse(
      `{"numbers":[333333333.33333329,1E30,4.50,2e-3,0.000000000000000000000000001],` +
        `"string":"\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\"\\/","literals":[null,true,false]}`,
    );
    expect(canonicalText(input)).toBe(
      `{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],` +
        `"string":"€$\\u000f\\nA'B\\"\\\\\\\\\\"/"}`,
    );
  });

  test("names are sorted by UTF-16 code units", () => {
    // RFC 8785, section 3.2.3: "\r", "1", U+0080, U+00F6, U+20AC, U+1F600, U+FB33.
    const names = ["\u20ac", "\r", "\ufb33", "1", "\u{1f600}", "\u0080", "\u00f6"];
    const value = Object.fromEntries(names.map((name) => [name, 0]));
    expect(Object.keys(JSON.parse(canonicalText(value))).sort()).toEqual([...names].sort());
    const order = [...canonicalText(value).matchAll(/"((?:[^"\\]|\\.)*)":/g)].map(([, n]) =>
      JSON.parse(`"${n}"`),
    );
    expect(order).toEqual(["\r", "1", "\u0080", "\u00f6", "\u20ac", "\u{1f600}", "\ufb33"]);
  });

  test("one text, whatever the order in which members were written", () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => {
        const text = canonicalText(value);
        expect(canonicalText(JSON.parse(text))).toBe(text);
        expect(JSON.parse(text)).toEqual(JSON.parse(JSON.stringify(value)));
      }),
    );
  });

  test.each([
    [Number.NaN],
    [Number.POSITIVE_INFINITY],
    [() => 1],
    ["\ud800"],
    [new Float64Array(2)],
  ])("%s is refused", (value) => expect(() => canonicalText({ a: value })).toThrow(TypeError));
});

describe("hashes", () => {
  test("SHA-256 of Node's OpenSSL, CRC-32 of zlib", () => {
    // FIPS 180-4 example "abc", published by NIST.
    expect(hashOf(new TextEncoder().encode("abc"))).toBe(
      "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad",
    );
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 300 }), (bytes) => {
        expect(hashOf(bytes)).toBe(createHash("sha256").update(bytes).digest("hex"));
        expect(crc32(bytes.subarray(100), crc32(bytes.subarray(0, 100)))).toBe(zlibCrc32(bytes));
      }),
    );
  });
});

describe("seals", () => {
  test("whatever is changed in a document, its place is named", () => {
    const { revision } = inventedRevisions()[0];
    const { seals, ...rest } = JSON.parse(JSON.stringify(revision));
    expect(brokenSeals(rest, seals)).toEqual([]);
    const paths = Object.keys(sealsOf(rest as Json));
    expect(paths).toEqual(expect.arrayContaining(["/content/car/plate", "/closedAt"]));
    rest.content.car.plate = "XX 1";
    delete rest.timeZone;
    rest.content.work.surprise = 1;
    expect(brokenSeals(rest, seals)).toEqual(
      expect.arrayContaining([
        { path: "/content/car/plate", how: "changed" },
        { path: "/timeZone", how: "missing" },
        { path: "/content/work/surprise", how: "added" },
      ]),
    );
  });
});

describe("archive", () => {
  test("other zip programs open it and find its check sums right", async () => {
    const folder = mkdtempSync(join(tmpdir(), "plumbshot-archive-"));
    const file = join(folder, "record.zip");
    writeFileSync(file, await inventedArchive(inventedRevisions(), []));
    const script =
      "import sys,zipfile\nz=zipfile.ZipFile(sys.argv[1])\nassert z.testzip() is None\nprint(*z.namelist(),sep='\\n')";
    const names = execFileSync("python3", ["-c", script, file], { encoding: "utf8" });
    expect(names).toContain("photos/a.jpg");
    expect(names).toContain("job.json");
  });
});

describe("closed revisions", () => {
  test("revision 2 says what changed", () => {
    const [first, second] = inventedRevisions();
    expect(second.revision.supersedes).toBe(first.sha256);
    expect(second.revision.changes).toEqual([
      { path: "/car/customer", how: "changed", was: "", is: "Ñandú Ltd." },
      expect.objectContaining({ path: "/photos/b.jpg", how: "removed" }),
      expect.objectContaining({ path: "/photos/late.jpg", how: "added" }),
    ]);
  });

  test("what the caller changes after closing does not reach the revision", () => {
    const [first] = inventedRevisions();
    const text = new TextDecoder().decode(first.bytes);
    (first.revision.content.car as { plate: string }).plate = "changed";
    expect(new TextDecoder().decode(first.bytes)).toBe(text);
    expect(text).toContain('"plate":"AB 123"');
  });

  test("a newer version is told apart from a damaged document", () => {
    expect(readRevision({ format: "plumbshot-record", version: 9 })).toMatchObject({
      reason: "newer version",
    });
    expect(readRevision({ format: "plumbshot-record", version: 1 })).toMatchObject({
      reason: "not readable",
    });
  });

  test("a revision that was kept from the first program with this format stays readable", () => {
    const kept = readFileSync("tests/unit/record/kept-revision.txt");
    const read = readRevision(JSON.parse(kept.toString()));
    expect(read).toMatchObject({ ok: true });
    expect(hashOf(kept)).toBe(
      readFileSync("tests/unit/record/kept-revision.sha256", "utf8").trim(),
    );
  });

  test("differences of equal contents are none; a check's number is named by the check", () => {
    const before = inventedContent();
    const after = structuredClone(before) as RecordContent;
    expect(differences(before, after)).toEqual([]);
    (after.result!.checks[1] as { measured: number }).measured = 2;
    expect(differences(before, after)).toEqual([
      { path: "/result/checks/lateral/measured", how: "changed", was: "23.4", is: "2" },
    ]);
  });
});

describe("open points", () => {
  test("an outcome that is not met, missing papers and open checks are listed", () => {
    const codes = openPoints({ content: inventedContent(), stale: true, stepsOpen: ["second"] });
    expect(codes.map(({ code }) => code)).toEqual([
      "open-outcome",
      "open-stale",
      "open-steps",
      "open-no-after-photos",
      "open-no-print-check",
      "open-checks",
      "open-no-scan-after",
    ]);
  });
});

describe("lines for the books", () => {
  test("one line per check; quotes, formulas and decimal commas are written safely", () => {
    const [first] = inventedRevisions();
    const revision = structuredClone(first.revision) as typeof first.revision;
    (revision.content.car as { plate: string }).plate = '=SUM("A1")';
    const csv = csvOf([{ sha256: first.sha256, revision }], { separator: ";", decimal: "," });
    const lines = csv.split("\r\n");
    expect(lines).toHaveLength(1 + 3 + 1);
    expect(lines[1]).toContain(`"'=SUM(""A1"")"`);
    expect(lines[1]).toContain(";2507,9;2,8;");
    // Read back by Python's csv module (RFC 4180).
    const script = "import sys,csv\nprint(*(len(r) for r in csv.reader(sys.stdin, delimiter=';')))";
    const counts = execFileSync("python3", ["-c", script], { input: csv, encoding: "utf8" });
    expect(new Set(counts.trim().split(" "))).toEqual(new Set(["30"]));
  });
});

describe("published schemas of the record", () => {
  test("are what the sources say (npm run schemas writes them)", () => {
    for (const [name, schema] of Object.entries(recordSchemas())) {
      const text = readFileSync(`src/record/schemas/${name}.schema.json`, "utf8");
      expect(JSON.parse(text), name).toEqual(JSON.parse(JSON.stringify(schema)));
    }
  });
});
