/**
 * `npm start [-- --https] [-- --port 8080] [-- --store https://...] [-- --folder shop]`: builds the app, serves it on this machine and the local
 * network, prints the addresses and a QR code for the phone. Nothing leaves the local network.
 */
import { existsSync } from "node:fs";
import { createServer, type RequestListener } from "node:http";
import { createServer as createSecureServer } from "node:https";
import { homedir, hostname, networkInterfaces } from "node:os";
import { join } from "node:path";
import QRCode from "qrcode";
import { build } from "vite";
import { readArguments } from "./arguments.ts";
import { isPrivate, serverIdentity } from "./server/authority.ts";
import { folderLogin, shopFolder } from "./server/shop-folder.ts";
import { staticFiles } from "./server/static-files.ts";
import { fingerprintOf, trustGuide } from "./server/trust-guide.ts";
import { folderStore } from "./stores/folder-store.ts";

const localAddresses = (): string[] =>
  Object.values(networkInterfaces())
    .flat()
    .filter((net) => net?.family === "IPv4" && !net.internal)
    .map((net) => net!.address);

/** Null where it is no address of a web server. */
function originOf(address: string): string | null {
  try {
    const { protocol, origin } = new URL(address);
    return /^https?:$/.test(protocol) ? origin : null;
  } catch {
    return null;
  }
}

const help = {
  usage:
    "Usage: npm start [-- --https] [--port 8080] [--store <address>] [--folder <path>] [--no-build]",
  text: `Builds the app, serves it on this machine and the local network, and shows a QR code for the phone.

  --https        with a certificate that phones can be told to trust: camera stream, use offline
  --port <n>     another port than 8080
  --store <a>    the one address besides this machine that the app may speak to: the shop's store. The
                 page's security policy names it; any other address stays forbidden.
  --folder <p>   keeps the shop's store in this folder of this machine, for phones in the same network
  --no-build     serve the app as it was built last`,
};
const read = readArguments(
  help,
  {
    https: { type: "boolean", default: false },
    port: { type: "string", default: "8080" },
    store: { type: "string" },
    folder: { type: "string" },
    "no-build": { type: "boolean", default: false },
  },
  null,
);
if (!read.ok) process.exit(read.status);
const flags = read.values;
const port = Number(flags.port);
if (!Number.isInteger(port) || port < 0 || port > 65_535) {
  console.error(`--port ${flags.port}: give a whole number from 0 to 65535.`);
  process.exit(2);
}
const storeOrigin = flags.store === undefined ? null : originOf(flags.store);
if (flags.store !== undefined && storeOrigin === null) {
  console.error(`--store ${flags.store}: give an address that begins with https:// or http://.`);
  process.exit(2);
}
if (!flags["no-build"]) await build({ logLevel: "warn" });
if (!existsSync("dist/index.html")) {
  console.error("There is no built app in dist/. Run npm start without --no-build.");
  process.exit(2);
}

const addresses = localAddresses();
const ownStore = flags.folder === undefined ? null : "/store/";
const pages = staticFiles("dist", { store: storeOrigin, ownStore });
const login = flags.folder === undefined ? null : folderLogin(flags.folder);
const shop =
  flags.folder === undefined || !login
    ? null
    : shopFolder("/store/", { store: folderStore(join(flags.folder, "store")), ...login });
const answer: RequestListener = (request, response) => {
  if (!shop?.(request, response)) pages(request, response);
};
/** Kept outside the program's folder, so that a new version of it is trusted as before. */
const keptIn = join(process.env.XDG_CONFIG_HOME ?? join(homedir(), ".config"), "plumbshot/https");
const identity = flags.https ? await serverIdentity(keptIn, addresses, hostname()) : null;
const server = identity
  ? createSecureServer({ key: identity.leaf.private, cert: identity.leaf.cert }, answer)
  : createServer(answer);

/** The page by which phones learn to trust this machine: plain http, on the next free port. */
const startGuide = (cert: string, appUrls: readonly string[], wanted: number): Promise<number> =>
  new Promise((resolve) => {
    const guide = createServer(trustGuide(cert, appUrls));
    guide.on("error", () => guide.listen(0, "0.0.0.0"));
    guide.on("listening", () => {
      const bound = guide.address();
      resolve(typeof bound === "object" && bound ? bound.port : wanted);
    });
    guide.listen(wanted, "0.0.0.0");
  });

server.on("error", (error: NodeJS.ErrnoException) => {
  console.error(
    error.code === "EADDRINUSE"
      ? `Port ${port} is taken. Try: npm start -- --port ${port === 65_535 ? 0 : port + 1}`
      : `The server cannot start: ${error.message}`,
  );
  process.exit(2);
});
server.listen(port, "0.0.0.0", async () => {
  const bound = server.address();
  const actual = typeof bound === "object" && bound ? bound.port : port;
  const scheme = flags.https ? "https" : "http";
  console.log(`Plumbshot on this machine:  ${scheme}://localhost:${actual}/`);
  const served = addresses.filter((address) => !identity || isPrivate(address));
  const urls = served.map((address) => `${scheme}://${address}:${actual}/`);
  for (const url of urls) {
    console.log(`From the phone:             ${url}`);
    console.log(await QRCode.toString(url, { type: "utf8" }));
  }
  if (login) {
    console.log(
      `The shop's store:           ${scheme}://localhost:${actual}/store/ in ${flags.folder}`,
    );
    console.log(
      `  user ${login.user}, password ${login.password} (asked for on the app's Shop screen)`,
    );
  }
  if (storeOrigin) console.log(`The app may speak to:       ${storeOrigin} (the shop's store)`);
  for (const address of addresses.filter((one) => !served.includes(one))) {
    console.log(
      `Not by https:               ${address} is no address of a private network, and certificates of ` +
        "this machine are for those only. Connect phone and machine by one router or hotspot.",
    );
  }
  if (addresses.length === 0) console.log("No local network found: this machine only.");
  if (!identity) {
    console.log("Phone and this machine must be in one network; it needs no internet.");
    return;
  }
  const named = `https://${identity.names[1]}:${actual}/`;
  console.log(`By name, where the network knows it: ${named}`);
  const guidePort = await startGuide(
    identity.authority.cert,
    [...urls, named],
    actual < 65_535 ? actual + 1 : 0,
  );
  console.log(
    "Once for each phone: open this page on it and follow the pictures, so that it trusts this machine.",
  );
  for (const address of addresses) {
    const url = `http://${address}:${guidePort}/`;
    console.log(`The steps with pictures:    ${url}`);
    console.log(await QRCode.toString(url, { type: "utf8" }));
  }
  console.log(`Compare on the phone (SHA-256): ${fingerprintOf(identity.authority.cert)}`);
  console.log(
    `The key lies in ${keptIn}, for you alone. Whoever copies it can pass for this machine in your ` +
      "own network. To be trusted no more: remove the certificate on the phones (the page says how) " +
      "and delete that folder.",
  );
});
