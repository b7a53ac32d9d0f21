/**
 * `npm run --silent verify -- <archive> [--key <file>] [--recompute] [--csv] [--json]`
 * Exit status 0: as it was closed; 1: something was changed; 2: the input cannot be used.
 */
import { readFile } from "node:fs/promises";
import { nodePorts } from "../../workers/node/node-ports.ts";
import { runJob } from "../job/run/run.ts";
import type { ByteSource } from "../record/archive/byte-source.ts";
import { csvOf } from "../record/csv.ts";
import { compareResults } from "../record/recompute.ts";
import { type PublicKey, publicKeyFileSchema } from "../record/signature.ts";
import { findingSentence } from "../record/verify/finding.ts";
import { type Verification, verifyArchive } from "../record/verify/verify-archive.ts";
import type { PlacedRevision } from "../record/verify/verify-chain.ts";
import { readArguments } from "./arguments.ts";
import { UnusableInput } from "./job-folder.ts";
import { jobInputOf, openFile } from "./record-archive.ts";
import { orUnusable, refuse } from "./refuse.ts";

const help = {
  usage:
    "Usage: npm run --silent verify -- <archive.zip> [--key <file>] [--recompute] [--csv] [--json]",
  text: `Verifies a record archive: every photo, input and result against the hashes that were closed, how
the revisions follow on each other, and signatures. Whatever was changed is named.

  --key <file>   every revision must be signed with this public key (exported in the app's settings);
                 one that is not signed, or by another key, is named
  --recompute    measure the photos again with this program and compare all numbers
  --csv          print one line per check of every revision, for the shop's books
  --json         print what was found as one JSON document

What it proves: that nothing in the archive was changed since it was closed, as far as it hangs on
something that you know from elsewhere: the hash on the customer's paper, a later record, or the key of
the signature. What it does not prove: who took the photos, that the clock was right, or that the car
was this car. An archive that is neither signed nor known from elsewhere can be made anew as a whole.

Exit status: 0 as it was closed; 1 something was changed; 2 the input cannot be used.`,
};

const readKey = async (path: string): Promise<PublicKey> => {
  try {
    return publicKeyFileSchema.parse(JSON.parse(await readFile(path, "utf8"))).key;
  } catch {
    throw new UnusableInput(`${path} is no public key of Plumbshot (plumbshot-public-key).`);
  }
};

const report = ({ intact, findings, revisions }: Verification): string =>
  [
    ...revisions.map(({ sha256, revision }) =>
      [
        `Revision ${revision.number} of record ${revision.record}, closed ${revision.closedAt}`,
        `  ${revision.content.title || revision.content.car.description}`,
        `  SHA-256 ${sha256}`,
      ].join("\n"),
    ),
    ...findings.map(
      (finding) =>
        `${finding.severity === "fault" ? "CHANGED: " : "Note: "}${findingSentence(finding)}`,
    ),
    intact
      ? "Nothing was changed since it was closed, as far as the hashes reach."
      : "This is not as it was closed.",
  ].join("\n");

/** Measures the last revision again; true where all numbers are the same. */
const recompute = async (source: ByteSource, { revision }: PlacedRevision): Promise<boolean> => {
  const closed = revision.content.result;
  if (!closed) throw new UnusableInput("The last revision has no result to compare with.");
  const { ports, close } = nodePorts();
  try {
    const answer = await runJob(await jobInputOf(source, revision), ports);
    if (!answer.ok) {
      refuse(answer.remarks);
      return false;
    }
    const { compared, worst, worstCheck, different } = compareResults(closed, answer.result);
    for (const { path, was, is } of different.slice(0, 20)) {
      console.log(`Different: ${path}: closed ${JSON.stringify(was)}, now ${JSON.stringify(is)}`);
    }
    console.log(
      `Recomputed with ${answer.result.program}: ${compared} values compared, ` +
        `${different.length} different; the checks at most ${worstCheck.toExponential(1)} apart, ` +
        `other numbers at most ${worst.toExponential(1)}.`,
    );
    return different.length === 0;
  } finally {
    close();
  }
};

const main = async (): Promise<number> => {
  const flag = { type: "boolean", default: false } as const;
  const read = readArguments(
    help,
    { json: flag, csv: flag, recompute: flag, key: { type: "string" } },
    "one record archive",
  );
  if (!read.ok) return read.status;
  const { json, csv, recompute: again, key } = read.values;
  return orUnusable(
    async () => {
      const source = await openFile(read.names[0]);
      try {
        const options = key ? { key: await readKey(key) } : {};
        const found = await verifyArchive(source, options);
        if (csv) process.stdout.write(csvOf(found.revisions));
        else console.log(json ? JSON.stringify(found, null, 2) : report(found));
        const last = found.revisions.at(-1);
        const same = again && last ? await recompute(source, last) : true;
        return found.intact && same ? 0 : 1;
      } finally {
        await source.close();
      }
    },
    () => undefined,
  );
};

process.exitCode = await main();
