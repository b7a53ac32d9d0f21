/**
 * Real stores as processes of their own on the loopback, from Debian's packages: Apache with mod_dav,
 * rclone's WebDAV, OpenStack Swift with its S3 interface. Each is null where its package is missing.
 */
import { type ChildProcess, execFileSync, spawn } from "node:child_process";
import {
  chmodSync,
  chownSync,
  existsSync,
  mkdirSync,
  mkdtempSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";

export interface StoreServer {
  readonly url: string;
  /** Where its files lie. */
  readonly folder: string;
  /** Ends it without a word, as a power cut does, and starts it again. */
  restart(): Promise<void>;
  stop(): Promise<void>;
}

export const login = { user: "shop", password: "a pässword" } as const;

export const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const { port } = server.address() as { port: number };
      server.close(() => resolve(port));
    });
  });

const isInstalled = (program: string): boolean => existsSync(program);
export const hasApache = (): boolean =>
  isInstalled("/usr/sbin/apache2") && isInstalled("/usr/bin/htpasswd");
export const hasRclone = (): boolean => isInstalled("/usr/bin/rclone");
export const hasSwift = (): boolean =>
  isInstalled("/usr/bin/memcached") &&
  ["proxy", "account", "container", "object"].every((part) =>
    isInstalled(`/usr/bin/swift-${part}-server`),
  );

/** Waits until something answers; fails with what the process said. */
async function answers(url: string, said: () => string): Promise<void> {
  for (let tries = 0; tries < 150; tries++) {
    try {
      await fetch(url);
      return;
    } catch {
      await new Promise((resolve) => setTimeout(resolve, 200));
    }
  }
  throw new Error(`${url} does not answer: ${said()}`);
}

interface Run {
  kill(): Promise<void>;
  said(): string;
}

function run(program: string, args: readonly string[], env: Record<string, string> = {}): Run {
  let said = "";
  const child: ChildProcess = spawn(program, args, { env: { ...process.env, ...env } });
  const add = (part: Buffer) => {
    said = (said + part).slice(-4000);
  };
  child.stdout?.on("data", add);
  child.stderr?.on("data", add);
  child.on("error", (error) => add(Buffer.from(String(error))));
  const ended = new Promise<void>((resolve) => child.on("exit", () => resolve()));
  return {
    said: () => said,
    kill: async () => {
      if (child.exitCode === null && child.signalCode === null && child.pid) {
        child.kill("SIGTERM");
        const late = setTimeout(() => child.kill("SIGKILL"), 3000);
        await ended;
        clearTimeout(late);
      }
    },
  };
}

async function serve(
  url: string,
  folder: string,
  base: string,
  start: () => Run[],
  behind: readonly string[] = [],
) {
  let running = start();
  const said = () => running.map((one) => one.said()).join("\n");
  const ready = async (): Promise<void> => {
    for (const one of [...behind, url]) await answers(one, said);
  };
  await ready();
  const end = async () => {
    for (const one of running) await one.kill();
  };
  const server: StoreServer & { said(): string } = {
    said,
    url,
    folder,
    restart: async () => {
      await end();
      running = start();
      await ready();
    },
    stop: async () => {
      await end();
      rmSync(base, { recursive: true, force: true });
    },
  };
  return server;
}

const isRoot = process.getuid?.() === 0;
const idOf = (user: string): number => Number(execFileSync("id", ["-u", user]).toString());

export interface ApacheOptions {
  /** The app's origin, which its answers allow (CORS). */
  readonly origin?: string;
  readonly readOnly?: boolean;
  /** PEM of a certificate and its key. */
  readonly tls?: { readonly cert: string; readonly key: string };
}

/** Settings that let an app from another address in, as the README shows them. */
const corsOf = (origin: string): string => `
  RewriteEngine On
  RewriteCond %{REQUEST_METHOD} =OPTIONS
  RewriteRule ^ - [R=204,L]
  Header always set Access-Control-Allow-Origin "${origin}"
  Header always set Access-Control-Allow-Methods "GET, HEAD, PUT, DELETE, MKCOL, PROPFIND"
  Header always set Access-Control-Allow-Headers "authorization, content-type, depth, if-none-match"
  Header always set Access-Control-Max-Age "86400"`;

export async function startApache(options: ApacheOptions = {}): Promise<StoreServer> {
  const base = mkdtempSync(join(tmpdir(), "plumbshot-apache-"));
  chmodSync(base, 0o755);
  const folder = join(base, "files", "shop");
  const locks = join(base, "locks");
  for (const each of [folder, locks]) mkdirSync(each, { recursive: true });
  if (isRoot) {
    for (const each of [join(base, "files"), folder, locks]) {
      chownSync(each, idOf("www-data"), idOf("www-data"));
    }
  }
  execFileSync("htpasswd", ["-cbB", join(base, "users"), login.user, login.password], {
    stdio: "ignore",
  });
  const port = await freePort();
  const { tls } = options;
  if (tls) {
    writeFileSync(join(base, "cert.pem"), tls.cert);
    writeFileSync(join(base, "key.pem"), tls.key);
  }
  const modules = [
    "mpm_event",
    "authz_core",
    "authn_core",
    "authn_file",
    "authz_user",
    "auth_basic",
  ];
  const more = ["dav", "dav_fs", "headers", "rewrite", ...(tls ? ["ssl"] : [])];
  const reads = options.readOnly ? "\n    Require method GET HEAD PROPFIND OPTIONS" : "";
  writeFileSync(
    join(base, "apache.conf"),
    `ServerRoot ${base}
PidFile ${base}/pid
ServerName localhost
Listen 127.0.0.1:${port}
ErrorLog ${base}/errors
${[...modules, ...more].map((name) => `LoadModule ${name}_module /usr/lib/apache2/modules/mod_${name}.so`).join("\n")}
${isRoot ? "User www-data\nGroup www-data" : ""}
DocumentRoot ${base}/files
DavLockDB ${locks}/lock
${tls ? `SSLEngine on\nSSLCertificateFile ${base}/cert.pem\nSSLCertificateKeyFile ${base}/key.pem` : ""}
${options.origin ? corsOf(options.origin) : ""}
<Directory ${base}/files>
  Dav On
  AuthType Basic
  AuthName shop
  AuthUserFile ${base}/users
  <RequireAll>
    Require valid-user${reads}
  </RequireAll>
</Directory>
`,
  );
  const url = `${tls ? "https" : "http"}://127.0.0.1:${port}/shop/`;
  const start = () => [run("/usr/sbin/apache2", ["-f", join(base, "apache.conf"), "-DFOREGROUND"])];
  if (!tls) return serve(url, folder, base, start);
  const running = start();
  await new Promise((resolve) => setTimeout(resolve, 1500));
  return {
    url,
    folder,
    restart: async () => undefined,
    stop: async () => {
      for (const one of running) await one.kill();
      rmSync(base, { recursive: true, force: true });
    },
  };
}

export async function startRclone(): Promise<StoreServer> {
  const base = mkdtempSync(join(tmpdir(), "plumbshot-rclone-"));
  const folder = join(base, "files");
  mkdirSync(folder);
  const port = await freePort();
  const args = [
    "serve",
    "webdav",
    folder,
    "--addr",
    `127.0.0.1:${port}`,
    "--config",
    join(base, "c"),
  ];
  const auth = ["--user", login.user, "--pass", login.password];
  return serve(`http://127.0.0.1:${port}/`, folder, base, () => [
    run("/usr/bin/rclone", [...args, ...auth], { RCLONE_CACHE_DIR: join(base, "cache") }),
  ]);
}

export const swiftKeys = { accessKey: "test:tester", secretKey: "testing" } as const;

/** One proxy and one server each for accounts, containers and objects, one copy of everything. */
export async function startSwift(): Promise<StoreServer> {
  const base = mkdtempSync(join(tmpdir(), "plumbshot-swift-"));
  const folder = join(base, "devices", "d1");
  mkdirSync(folder, { recursive: true });
  const user = isRoot ? "root" : process.env.USER;
  const ports = new Map<string, number>();
  for (const part of ["proxy", "account", "container", "object", "memory"])
    ports.set(part, await freePort());
  writeFileSync(
    join(base, "swift.conf"),
    "[swift-hash]\nswift_hash_path_prefix = a\nswift_hash_path_suffix = b\n" +
      "[storage-policy:0]\nname = only\ndefault = yes\n",
  );
  const common = (part: string) =>
    `[DEFAULT]\nbind_ip = 127.0.0.1\nbind_port = ${ports.get(part)}\nuser = ${user}\nworkers = 0\n` +
    `swift_dir = ${base}\ndevices = ${base}/devices\nmount_check = false\n` +
    "log_address = /nowhere\nconn_timeout = 10\nnode_timeout = 30\n";
  for (const part of ["account", "container", "object"]) {
    const builder = join(base, `${part}.builder`);
    const ring = (...args: string[]) =>
      execFileSync("swift-ring-builder", [builder, ...args], { stdio: "ignore", cwd: base });
    ring("create", "4", "1", "0");
    ring("add", `r1z1-127.0.0.1:${ports.get(part)}/d1`, "1");
    ring("rebalance");
    writeFileSync(
      join(base, `${part}.conf`),
      `${common(part)}[pipeline:main]\npipeline = ${part}-server\n` +
        `[app:${part}-server]\nuse = egg:swift#${part}\n`,
    );
  }
  writeFileSync(
    join(base, "proxy.conf"),
    `${common("proxy")}[pipeline:main]
pipeline = catch_errors cache s3api tempauth bulk slo dlo proxy-server
[app:proxy-server]
use = egg:swift#proxy
account_autocreate = true
[filter:catch_errors]
use = egg:swift#catch_errors
[filter:cache]
use = egg:swift#memcache
memcache_servers = 127.0.0.1:${ports.get("memory")}
[filter:s3api]
use = egg:swift#s3api
s3_acl = false
location = us-east-1
auth_pipeline_check = false
[filter:tempauth]
use = egg:swift#tempauth
user_test_tester = testing .admin
[filter:bulk]
use = egg:swift#bulk
[filter:slo]
use = egg:swift#slo
[filter:dlo]
use = egg:swift#dlo
`,
  );
  const memory = [
    "-l",
    "127.0.0.1",
    "-p",
    String(ports.get("memory")),
    "-m",
    "16",
    "-u",
    user ?? "",
  ];
  const at = (part: string): string => `http://127.0.0.1:${ports.get(part)}`;
  const behind = ["account", "container", "object"];
  const start = () => [
    run("/usr/bin/memcached", memory),
    ...[...behind, "proxy"].map((part) =>
      run(`/usr/bin/swift-${part}-server`, [join(base, `${part}.conf`), "--verbose"], {
        SWIFT_DIR: base,
      }),
    ),
  ];
  // The proxy answers before the servers behind it do.
  return serve(at("proxy"), folder, base, start, behind.map(at));
}
