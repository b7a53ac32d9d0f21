import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { connect, type Socket } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { ensureDebian, onPath } from "./debian.ts";
import { nssStore } from "./nss-store.ts";
import { type Command, commands, DrivenPage, eventually, startProgram } from "./webdriver.ts";

/** Firefox's own settings for tests are set by Marionette itself. */
const settings = { "marionette.port": 0, "browser.tabs.inTitlebar": 0 };

type Answer = readonly [
  type: number,
  id: number,
  error: { message: string } | null,
  result: unknown,
];

/** Messages are JSON with their length in bytes before them: `17:[0,1,"name",{}]`. */
class Marionette {
  private rest = Buffer.alloc(0);
  private last = 0;
  private readonly waiting = new Map<number, (answer: Answer) => void>();

  private constructor(private readonly socket: Socket) {
    socket.on("data", (data) => this.read(data));
    socket.on("error", () => undefined);
    socket.on("close", () => {
      for (const [id, answer] of this.waiting) answer([1, id, { message: "Firefox ended" }, null]);
    });
  }

  static connect(port: number): Promise<Marionette> {
    return new Promise((resolve, reject) => {
      const socket = connect(port, "127.0.0.1", () => resolve(new Marionette(socket)));
      socket.once("error", reject);
    });
  }

  async send(name: string, body: unknown): Promise<unknown> {
    const id = ++this.last;
    const message = JSON.stringify([0, id, name, body]);
    const answer = new Promise<Answer>((resolve) => this.waiting.set(id, resolve));
    this.socket.write(`${Buffer.byteLength(message)}:${message}`);
    const [, , error, result] = await answer;
    if (error) throw new Error(`Firefox, ${name}: ${error.message}`);
    return result;
  }

  private read(data: Buffer): void {
    this.rest = Buffer.concat([this.rest, data]);
    for (;;) {
      const colon = this.rest.indexOf(":");
      const length = Number(this.rest.subarray(0, Math.max(0, colon)).toString());
      if (colon < 0 || this.rest.length < colon + 1 + length) return;
      const message = JSON.parse(this.rest.subarray(colon + 1, colon + 1 + length).toString());
      this.rest = this.rest.subarray(colon + 1 + length);
      // The first message is a greeting, not an answer.
      if (Array.isArray(message)) {
        this.waiting.get(message[1])?.(message as unknown as Answer);
        this.waiting.delete(message[1]);
      }
    }
  }
}

export interface FirefoxPage {
  readonly page: DrivenPage;
  /** Errors that Firefox's console holds about scripts from this address. */
  errors(origin: string): Promise<string[]>;
}

/**
 * Starts Firefox with an empty profile, without a window; `changed` are settings of about:config,
 * `authority` is a certificate (PEM) that it trusts.
 */
export async function startFirefox(
  changed: Readonly<Record<string, string | number | boolean>> = {},
  authority: string | null = null,
): Promise<FirefoxPage> {
  ensureDebian(
    () => onPath("firefox-esr") || onPath("firefox"),
    ["firefox-esr"],
    "The Firefox test",
  );
  const profile = mkdtempSync(join(tmpdir(), "plumbshot-firefox-"));
  const lines = Object.entries({ ...settings, ...changed }).map(
    ([name, value]) => `user_pref(${JSON.stringify(name)}, ${JSON.stringify(value)});`,
  );
  writeFileSync(join(profile, "user.js"), lines.join("\n"));
  if (authority) nssStore(profile, authority);
  const firefox = startProgram(
    onPath("firefox-esr") ? "firefox-esr" : "firefox",
    ["--headless", "--marionette", "--remote-allow-system-access", "--no-remote"].concat([
      "--profile",
      profile,
    ]),
    { HOME: profile },
  );
  const port = await eventually(
    async () => Number(readFileSync(join(profile, "MarionetteActivePort"), "utf8")),
    60_000,
  );
  const socket = await Marionette.connect(port);
  const session = (await socket.send("WebDriver:NewSession", {})) as {
    capabilities: { browserVersion: string };
  };
  /** Runs in the browser itself, outside the page. */
  const inBrowser = async <T>(script: string, ...args: unknown[]): Promise<T> => {
    await socket.send("Marionette:SetContext", { value: "chrome" });
    try {
      const answer = await socket.send("WebDriver:ExecuteScript", { script, args });
      return (answer as { value: T }).value;
    } finally {
      await socket.send("Marionette:SetContext", { value: "content" });
    }
  };
  // Its window would not become as narrow as a phone.
  await inBrowser("document.documentElement.style.minWidth = '0';");
  const wire = {
    send: async (command: Command, body: Record<string, unknown> = {}) => {
      const answer = await socket.send(commands[command][2], body);
      const hasValue = typeof answer === "object" && answer !== null && "value" in answer;
      return hasValue ? answer.value : answer;
    },
    close: async () => {
      await socket.send("Marionette:Quit", { flags: ["eForceQuit"] }).catch(() => undefined);
      await firefox.stop();
      await eventually(async () => rmSync(profile, { recursive: true, force: true }), 10_000);
    },
  };
  return {
    page: new DrivenPage(wire, session.capabilities.browserVersion),
    errors: (origin) =>
      inBrowser<string[]>(
        `return Services.console.getMessageArray()
          .filter((item) => item instanceof Ci.nsIScriptError && item.sourceName.startsWith(arguments[0]))
          .filter((item) => (item.flags & Ci.nsIScriptError.warningFlag) === 0)
          .map((item) => item.errorMessage)`,
        origin,
      ),
  };
}
