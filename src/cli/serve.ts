/**
 * `npm start [-- --https] [-- --port 8080]`: builds the app, serves it on this machine and the local
 * network, prints the addresses and a QR code for the phone. Nothing leaves the local network.
 */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { createServer, type RequestListener } from "node:http";
import { createServer as createSecureServer } from "node:https";
import { networkInterfaces } from "node:os";
import { join } from "node:path";
import { parseArgs } from "node:util";
import QRCode from "qrcode";
import { build } from "vite";
import { staticFiles } from "./static-files.ts";

const { values: flags } = parseArgs({
  options: {
    https: { type: "boolean", default: false },
    port: { type: "string", default: "8080" },
    "no-build": { type: "boolean", default: false },
  },
});

const localAddresses = (): string[] =>
  Object.values(networkInterfaces())
    .flat()
    .filter((net) => net?.family === "IPv4" && !net.internal)
    .map((net) => net!.address);

/** A certificate of this machine's own, kept for a year so that the phone is asked only once. */
const ownCertificate = async (addresses: readonly string[]) => {
  const folder = ".cache/https";
  const file = join(folder, "certificate.json");
  if (existsSync(file)) {
    const saved = JSON.parse(readFileSync(file, "utf8"));
    if (saved.addresses === addresses.join() && Date.parse(saved.until) > Date.now())
      return saved as { private: string; cert: string };
  }
  const { generate } = await import("selfsigned");
  const until = new Date(Date.now() + 365 * 86_400_000);
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
  mkdirSync(folder, { recursive: true });
  const saved = { ...pems, addresses: addresses.join(), until: until.toISOString() };
  writeFileSync(file, JSON.stringify(saved), { mode: 0o600 });
  return saved;
};

const port = Number(flags.port);
if (!Number.isInteger(port) || port < 0 || port > 65_535) {
  console.error(`--port ${flags.port}: give a whole number from 0 to 65535.`);
  process.exit(2);
}
if (!flags["no-build"]) await build({ logLevel: "warn" });
if (!existsSync("dist/index.html")) {
  console.error("There is no built app in dist/. Run npm start without --no-build.");
  process.exit(2);
}

const addresses = localAddresses();
const answer: RequestListener = staticFiles("dist");
const server = flags.https
  ? await ownCertificate(addresses).then((own) =>
      createSecureServer({ key: own.private, cert: own.cert }, answer),
    )
  : createServer(answer);

server.on("error", (error: NodeJS.ErrnoException) => {
  console.error(
    error.code === "EADDRINUSE"
      ? `Port ${port} is taken. Try: npm start -- --port ${port + 1}`
      : `The server cannot start: ${error.message}`,
  );
  process.exit(2);
});
server.listen(port, "0.0.0.0", async () => {
  const bound = server.address();
  const actual = typeof bound === "object" && bound ? bound.port : port;
  const scheme = flags.https ? "https" : "http";
  console.log(`Plumbshot on this machine:  ${scheme}://localhost:${actual}/`);
  for (const address of addresses) {
    const url = `${scheme}://${address}:${actual}/`;
    console.log(`From the phone:             ${url}`);
    console.log(await QRCode.toString(url, { type: "utf8" }));
  }
  if (addresses.length === 0) console.log("No local network found: this machine only.");
  console.log(
    flags.https
      ? "The browser will warn once: the certificate is this machine's own."
      : "Live camera and installing need https: npm start -- --https. Photos from files do not.",
  );
});
