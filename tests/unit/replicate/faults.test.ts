/** What stores answer when something is wrong, as a person reads it. */
import { describe, expect, it } from "vitest";
import type { StoreFault } from "../../../src/replicate/faults/faults.ts";
import type { Answer, Request } from "../../../src/replicate/stores/http.ts";
import { patientStore, waitBefore } from "../../../src/replicate/stores/patient.ts";
import { s3Store } from "../../../src/replicate/stores/s3.ts";
import type { Store } from "../../../src/replicate/stores/store.ts";
import { webdavStore } from "../../../src/replicate/stores/webdav.ts";

const bytes = new TextEncoder().encode("an object") as Uint8Array<ArrayBuffer>;

const answering =
  (status: number, body = "", seen: Request[] = []) =>
  async (request: Request): Promise<Answer> => {
    seen.push(request);
    const text = new TextEncoder().encode(body) as Uint8Array<ArrayBuffer>;
    return { status, header: () => null, body: text };
  };

const webdav = (status: number, body = "") =>
  webdavStore(
    { kind: "webdav", url: "https://store.example/shop/", user: "u", password: "p" },
    answering(status, body),
  );
const s3 = (status: number, code = "", seen: Request[] = []) =>
  s3Store(
    {
      kind: "s3",
      url: "https://s3.example",
      bucket: "b",
      region: "us-east-1",
      accessKey: "a",
      secretKey: "s",
      folder: "",
    },
    answering(status, `<Error><Code>${code}</Code></Error>`, seen),
    () => Date.parse("2013-05-24T00:00:00Z"),
  );

const faultOf = async (work: Promise<unknown>): Promise<Pick<StoreFault, "code" | "again">> => {
  const error = await work.then(
    () => null,
    (reason: StoreFault) => reason,
  );
  return { code: error!.code, again: error!.again };
};

describe("answers of stores", () => {
  const writes: readonly [string, Store, string, boolean][] = [
    ["WebDAV 507", webdav(507), "full", false],
    ["WebDAV 413", webdav(413), "full", false],
    ["WebDAV 403", webdav(403), "read-only", false],
    ["WebDAV 401", webdav(401), "refused", false],
    ["WebDAV 423", webdav(423), "busy", true],
    ["WebDAV 503", webdav(503), "busy", true],
    ["WebDAV 302", webdav(302), "no-store", false],
    ["S3 QuotaExceeded", s3(403, "QuotaExceeded"), "full", false],
    ["S3 RequestTimeTooSkewed", s3(403, "RequestTimeTooSkewed"), "clock", false],
    ["S3 SignatureDoesNotMatch", s3(403, "SignatureDoesNotMatch"), "refused", false],
    ["S3 AccessDenied", s3(403, "AccessDenied"), "read-only", false],
    ["S3 SlowDown", s3(503, "SlowDown"), "busy", true],
  ];
  it.each(writes)("%s to a write", async (_, store, code, again) => {
    expect(await faultOf(store.putIfAbsent("objects/x", bytes))).toEqual({ code, again });
  });

  it("a list that is no list", async () => {
    expect((await faultOf(webdav(207, "<html><p>Hello").list("index"))).code).toBe("no-store");
    expect((await faultOf(s3(200, "&bomb;").list("index"))).code).toBe("no-store");
  });

  it("S3 requests are signed as AWS Signature Version 4 says", async () => {
    const seen: Request[] = [];
    await s3(200, "", seen).putIfAbsent("x", bytes);
    const { headers } = seen[0];
    expect(headers.authorization).toMatch(
      /^AWS4-HMAC-SHA256 Credential=a\/20130524\/us-east-1\/s3\/aws4_request, SignedHeaders=[a-z0-9;-]+, Signature=[0-9a-f]{64}$/,
    );
    expect(headers["x-amz-date"]).toBe("20130524T000000Z");
    expect(headers["if-none-match"]).toBe("*");
  });
});

describe("a patient store", () => {
  it("asks again after longer and longer waits, and not where asking helps nothing", async () => {
    const waits: number[] = [];
    const patience = { wait: async (ms: number) => void waits.push(ms), random: () => 1 };
    expect((await faultOf(patientStore(webdav(503), patience).get("x"))).code).toBe("busy");
    expect(waits).toEqual([500, 1000, 2000, 4000]);
    waits.length = 0;
    expect((await faultOf(patientStore(webdav(401), patience).get("x"))).code).toBe("refused");
    expect(waits).toEqual([]);
    expect(waitBefore(30, 0)).toBe(15_000);
  });
});
