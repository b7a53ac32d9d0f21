/**
 * A certificate authority of this machine alone, so that a phone in the same network gets a page that
 * it trusts: camera stream, wake lock and offline use need that. It may vouch for private addresses
 * and for names ending in .local only (name constraints, RFC 5280, 4.2.1.10): whoever got hold of its
 * key could not pass for any site on the internet.
 */
import { webcrypto } from "node:crypto";
import { chmodSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { isIPv4 } from "node:net";
import { join } from "node:path";
import { AsnConvert } from "@peculiar/asn1-schema";
import { GeneralName, GeneralSubtree, GeneralSubtrees, NameConstraints } from "@peculiar/asn1-x509";
import * as x509 from "@peculiar/x509";
import { z } from "zod";

/** Elliptic curve of NIST SP 800-186, which every phone knows. */
const algorithm = { name: "ECDSA", namedCurve: "P-256", hash: "SHA-256" } as const;
const day = 86_400_000;
const authorityDays = 5 * 365;
/** Phones take no server certificate that is good for more than 398 days. */
const leafDays = 390;
/** A leaf is made anew when less than this is left. */
const leafLeftDays = 30;

/** RFC 1918, RFC 3927, loopback: address and length of the network's part. */
const privateNetworks: readonly (readonly [string, number])[] = [
  ["10.0.0.0", 8],
  ["172.16.0.0", 12],
  ["192.168.0.0", 16],
  ["169.254.0.0", 16],
  ["127.0.0.0", 8],
];
const privateNames = ["localhost", "local"];

const keyPairSchema = z.object({
  private: z.string().includes("PRIVATE KEY"),
  cert: z.string().includes("CERTIFICATE"),
});
const leafSchema = keyPairSchema.extend({
  names: z.string(),
  until: z.iso.datetime(),
});
export type KeyAndCertificate = z.infer<typeof keyPairSchema>;

export interface ServerIdentity {
  readonly authority: KeyAndCertificate;
  /** Of the server, with the authority's behind it. */
  readonly leaf: KeyAndCertificate;
  /** Names and addresses that the leaf is good for. */
  readonly names: readonly string[];
}

/**
 * The authority kept in `folder`, made once, and a leaf for these addresses and names. What is missing
 * or damaged is made anew; a new authority has to be trusted anew. Addresses outside private networks
 * are left out, since phones would refuse them.
 */
export async function serverIdentity(
  folder: string,
  addresses: readonly string[],
  hostName: string,
): Promise<ServerIdentity> {
  mkdirSync(folder, { recursive: true, mode: 0o700 });
  chmodSync(folder, 0o700);
  const saved = readFrom(join(folder, "authority.json"), keyPairSchema);
  const authority = saved && isSound(saved) ? saved : await makeAuthority(hostName);
  if (authority !== saved) writePrivate(join(folder, "authority.json"), authority);
  const names = ["localhost", localName(hostName), ...addresses.filter(isPrivate)];
  const file = join(folder, "server.json");
  const kept = readFrom(file, leafSchema);
  const usable =
    kept !== null &&
    authority === saved &&
    kept.names === names.join() &&
    Date.parse(kept.until) > Date.now() + leafLeftDays * day;
  const leaf = usable ? kept : await makeLeaf(authority, names);
  if (!usable) writePrivate(file, leaf);
  return { authority, leaf, names };
}

/** The name under which a machine answers in its own network (RFC 6762). */
export const localName = (hostName: string): string =>
  `${hostName
    .toLowerCase()
    .replace(/\.local$/, "")
    .replace(/[^a-z0-9-]/g, "-")}.local`;

const toNumber = (address: string): number =>
  address.split(".").reduce((sum, part) => sum * 256 + Number(part), 0);

/** Addresses that the authority may vouch for. */
export const isPrivate = (address: string): boolean =>
  isIPv4(address) &&
  privateNetworks.some(([network, length]) => {
    const host = 2 ** (32 - length);
    return Math.floor(toNumber(address) / host) === Math.floor(toNumber(network) / host);
  });

async function makeAuthority(hostName: string): Promise<KeyAndCertificate> {
  x509.cryptoProvider.set(webcrypto as never);
  const keys = await makeKeys();
  const now = Date.now();
  const certificate = await x509.X509CertificateGenerator.createSelfSigned({
    serialNumber: serialNumber(),
    name: `CN=Plumbshot on ${localName(hostName)}`,
    notBefore: new Date(now - day),
    notAfter: new Date(now + authorityDays * day),
    signingAlgorithm: algorithm,
    keys,
    extensions: [
      new x509.BasicConstraintsExtension(true, 0, true),
      new x509.KeyUsagesExtension(x509.KeyUsageFlags.keyCertSign, true),
      await x509.SubjectKeyIdentifierExtension.create(keys.publicKey),
      new x509.Extension("2.5.29.30", true, nameConstraints()),
    ],
  });
  return { private: await privatePem(keys), cert: certificate.toString("pem") };
}

async function makeLeaf(
  authority: KeyAndCertificate,
  names: readonly string[],
): Promise<z.infer<typeof leafSchema>> {
  x509.cryptoProvider.set(webcrypto as never);
  const issuer = new x509.X509Certificate(authority.cert);
  const signingKey = await webcrypto.subtle.importKey(
    "pkcs8",
    x509.PemConverter.decodeFirst(authority.private),
    algorithm,
    false,
    ["sign"],
  );
  const keys = await makeKeys();
  const now = Date.now();
  const until = new Date(now + leafDays * day);
  const certificate = await x509.X509CertificateGenerator.create({
    serialNumber: serialNumber(),
    subject: `CN=${names[1]}`,
    issuer: issuer.subject,
    notBefore: new Date(now - day),
    notAfter: until,
    signingAlgorithm: algorithm,
    publicKey: keys.publicKey,
    signingKey: signingKey as never,
    extensions: [
      new x509.BasicConstraintsExtension(false, undefined, true),
      new x509.KeyUsagesExtension(x509.KeyUsageFlags.digitalSignature, true),
      new x509.ExtendedKeyUsageExtension(["1.3.6.1.5.5.7.3.1"]),
      new x509.SubjectAlternativeNameExtension(
        names.map((name) => ({
          type: isIPv4(name) ? ("ip" as const) : ("dns" as const),
          value: name,
        })),
      ),
      await x509.AuthorityKeyIdentifierExtension.create(issuer.publicKey),
    ],
  });
  return {
    private: await privatePem(keys),
    cert: `${certificate.toString("pem")}\n${authority.cert}`,
    names: names.join(),
    until: until.toISOString(),
  };
}

/** Permitted names and networks; kinds of names that are not listed (mail, URI) are not constrained. */
function nameConstraints(): ArrayBuffer {
  const permitted = [
    ...privateNames.map((dNSName) => new GeneralName({ dNSName })),
    ...privateNetworks.map(
      ([network, length]) => new GeneralName({ iPAddress: `${network}/${length}` }),
    ),
  ].map((base) => new GeneralSubtree({ base }));
  return AsnConvert.serialize(
    new NameConstraints({ permittedSubtrees: new GeneralSubtrees(permitted) }),
  );
}

const makeKeys = async () =>
  (await webcrypto.subtle.generateKey(algorithm, true, [
    "sign",
    "verify",
  ])) as webcrypto.CryptoKeyPair;

async function privatePem(keys: webcrypto.CryptoKeyPair): Promise<string> {
  const bytes = await webcrypto.subtle.exportKey("pkcs8", keys.privateKey);
  return x509.PemConverter.encode(bytes, "PRIVATE KEY");
}

/** Positive and hardly ever the same twice, hexadecimal. */
const serialNumber = (): string =>
  `01${Buffer.from(webcrypto.getRandomValues(new Uint8Array(15))).toString("hex")}`;

/** Still good for a while. */
const isSound = ({ cert }: KeyAndCertificate): boolean => {
  try {
    return new x509.X509Certificate(cert).notAfter.getTime() > Date.now() + leafDays * day;
  } catch {
    return false;
  }
};

function readFrom<T>(file: string, schema: z.ZodType<T>): T | null {
  try {
    return schema.parse(JSON.parse(readFileSync(file, "utf8")));
  } catch {
    return null;
  }
}

/** For nobody else to read, whatever the file was before. */
function writePrivate(file: string, content: unknown): void {
  writeFileSync(file, JSON.stringify(content), { mode: 0o600 });
  chmodSync(file, 0o600);
}
