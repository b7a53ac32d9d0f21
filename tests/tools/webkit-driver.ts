import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { ensureDebian, onPath } from "./debian.ts";
import { type Command, commands, DrivenPage, eventually, startProgram } from "./webdriver.ts";

/** Debian's small browser around WebKitGTK; its folder carries the interface's version. */
const findMiniBrowser = (): string => {
  for (const folder of readdirSync("/usr/lib", { withFileTypes: true })) {
    if (!folder.isDirectory() || !/-linux-gnu/.test(folder.name)) continue;
    const place = join("/usr/lib", folder.name);
    const found = readdirSync(place)
      .filter((name) => name.startsWith("webkit2gtk-"))
      .map((name) => join(place, name, "MiniBrowser"));
    if (found.length > 0) return found[found.length - 1];
  }
  throw new Error("WebKitGTK's MiniBrowser is missing; it comes with libwebkit2gtk.");
};

/** The toolbar would not let the window become as narrow as a phone. */
const narrowToolbar = "* { min-width: 0; padding: 0; margin: 0; }";

const freePort = (): Promise<number> =>
  new Promise((resolve) => {
    const server = createServer().listen(0, "127.0.0.1", () => {
      const address = server.address();
      server.close(() => resolve(typeof address === "object" && address ? address.port : 0));
    });
  });

/** Starts WebKitGTK with an empty profile on a screen that nobody sees. */
export async function startWebKit(downloads = tmpdir()): Promise<DrivenPage> {
  ensureDebian(
    () => onPath("WebKitWebDriver") && onPath("Xvfb"),
    ["webkit2gtk-driver", "xvfb"],
    "The WebKit test",
  );
  const home = mkdtempSync(join(tmpdir(), "plumbshot-webkit-"));
  mkdirSync(join(home, "config/gtk-3.0"), { recursive: true });
  writeFileSync(join(home, "config/user-dirs.dirs"), `XDG_DOWNLOAD_DIR="${downloads}"\n`);
  writeFileSync(join(home, "config/gtk-3.0/gtk.css"), narrowToolbar);
  const screenFile = join(home, "screen");
  const screen = startProgram("sh", [
    "-c",
    `exec Xvfb -displayfd 3 -screen 0 1400x1100x24 -nolisten tcp 3>${screenFile}`,
  ]);
  const display = await eventually(async () => {
    const text = readFileSync(screenFile, "utf8").trim();
    if (!/^\d+$/.test(text)) throw new Error("Xvfb has not started.");
    return `:${text}`;
  }, 10_000);
  const port = await freePort();
  const driver = startProgram("WebKitWebDriver", [`--port=${port}`, "--host=127.0.0.1"], {
    DISPLAY: display,
    GDK_BACKEND: "x11",
    HOME: home,
    XDG_CONFIG_HOME: join(home, "config"),
    XDG_DATA_HOME: join(home, "data"),
    XDG_CACHE_HOME: join(home, "cache"),
  });
  const call = async (method: string, path: string, body?: unknown): Promise<unknown> => {
    const response = await fetch(`http://127.0.0.1:${port}/session${path}`, {
      method,
      ...(method === "POST" && { body: JSON.stringify(body ?? {}) }),
    });
    const { value } = (await response.json()) as { value: unknown };
    if (!response.ok) {
      const { error, message } = value as { error: string; message: string };
      throw new Error(`WebKit, ${path}: ${error} ${message}`);
    }
    return value;
  };
  const options = { binary: findMiniBrowser(), args: ["--automation"] };
  const capabilities = { alwaysMatch: { "webkitgtk:browserOptions": options } };
  const session = (await eventually(() => call("POST", "", { capabilities }), 15_000)) as {
    sessionId: string;
    capabilities: { browserVersion: string };
  };
  const wire = {
    send: (command: Command, { id, ...body }: Record<string, unknown> = {}) => {
      const [method, path] = commands[command];
      return call(method, `/${session.sessionId}${path.replace("{id}", String(id))}`, body);
    },
    close: async () => {
      await call("DELETE", `/${session.sessionId}`).catch(() => undefined);
      await driver.stop();
      await screen.stop();
      // Its page processes end a moment later and write into their cache until then.
      await eventually(async () => rmSync(home, { recursive: true, force: true }), 10_000);
    },
  };
  return new DrivenPage(wire, session.capabilities.browserVersion);
}
