import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { z } from "zod";

/** Kept for a year, so that the phone is asked only once. */
const lifetimeMs = 365 * 86_400_000;

const certificateSchema = z.object({
  private: z.string().includes("PRIVATE KEY"),
  cert: z.string().includes("CERTIFICATE"),
  /** Comma-separated addresses that it is good for. */
  addresses: z.string(),
  until: z.iso.datetime(),
});
export type Certificate = z.infer<typeof certificateSchema>;

/**
 * A certificate of this machine's own for its addresses, PEM. The one kept in `folder` is taken again
 * while it is good for these addresses; one that is missing, damaged, too old or for other addresses
 * is made anew.
 */
export const ownCertificate = async (
  folder: string,
  addresses: readonly string[],
): Promise<Certificate> => {
  const file = join(folder, "certificate.json");
  const saved = readCertificate(file);
  if (saved && saved.addresses === addresses.join() && Date.parse(saved.until) > Date.now())
    return saved;
  const made = await makeCertificate(addresses);
  mkdirSync(folder, { recursive: true });
  writeFileSync(file, JSON.stringify(made), { mode: 0o600 });
  return made;
};

const readCertificate = (file: string): Certificate | null => {
  try {
    return certificateSchema.parse(JSON.parse(readFileSync(file, "utf8")));
  } catch {
    return null;
  }
};

const makeCertificate = async (addresses: readonly string[]): Promise<Certificate> => {
  const { generate } = await import("selfsigned");
  const until = new Date(Date.now() + lifetimeMs);
  const pems = await generate([{ name: "commonName", value: "Plumbshot on this machine" }], {
    notAfterDate: until,
    extensions: [
      {
        name: "subjectAltName",
        altNames: [
          { type: 2, value: "localhost" },
          ...addresses.map((ip) => ({ type: 7 as const, ip })),
        ],
      },
    ],
  });
  const { private: key, cert } = pems;
  return { private: key, cert, addresses: addresses.join(), until: until.toISOString() };
};
