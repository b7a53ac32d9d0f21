/**
 * A small WebDriver client (W3C WebDriver) for the browsers that the app is tried in besides
 * Chromium. WebKitGTK's driver speaks it over HTTP; Firefox itself speaks the same commands over
 * Marionette, its own socket (Firefox source docs, "Marionette protocol"), so that no driver
 * program is needed for it.
 */
import { type ChildProcess, spawn } from "node:child_process";
import { once } from "node:events";

/** Sends one command of the WebDriver specification; rejects with the browser's error. */
export interface Wire {
  send(command: Command, body?: Record<string, unknown>): Promise<unknown>;
  close(): Promise<void>;
}

/** Commands by their HTTP method and path below `/session/{id}`, and Marionette's name. */
export const commands = {
  go: ["POST", "/url", "WebDriver:Navigate"],
  reload: ["POST", "/refresh", "WebDriver:Refresh"],
  run: ["POST", "/execute/sync", "WebDriver:ExecuteScript"],
  find: ["POST", "/element", "WebDriver:FindElement"],
  click: ["POST", "/element/{id}/click", "WebDriver:ElementClick"],
  type: ["POST", "/element/{id}/value", "WebDriver:ElementSendKeys"],
  rect: ["POST", "/window/rect", "WebDriver:SetWindowRect"],
  picture: ["GET", "/screenshot", "WebDriver:TakeScreenshot"],
  print: ["POST", "/print", "WebDriver:Print"],
} as const;
export type Command = keyof typeof commands;

/** The key of an element's reference in answers (W3C WebDriver, section "Elements"). */
const elementKey = "element-6066-11e4-a52e-4f735466cecf";

/** An element is asked for by a CSS selector; `patience` is in ms. */
export class DrivenPage {
  constructor(
    private readonly wire: Wire,
    readonly version: string,
  ) {}

  async go(url: string): Promise<void> {
    await this.wire.send("go", { url });
  }

  async reload(): Promise<void> {
    await this.wire.send("reload", {});
  }

  /** Runs the body of a function in the page; `arguments` holds what is handed over. */
  async run<T>(script: string, ...args: unknown[]): Promise<T> {
    return (await this.wire.send("run", { script, args })) as T;
  }

  /** Waits until an expression is true in the page and answers its value. */
  async until<T>(expression: string, patience: number): Promise<T> {
    const end = Date.now() + patience;
    for (;;) {
      const value = await this.run<T>(`return ${expression}`);
      if (value) return value;
      if (Date.now() > end) throw new Error(`Not within ${patience} ms: ${expression}`);
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
  }

  /** Clicks an element once it keeps its place: a screen that is still coming pushes it about. */
  async click(selector: string, patience = 10_000): Promise<void> {
    const box = `JSON.stringify(document.querySelector(${JSON.stringify(selector)})
      ?.getBoundingClientRect() ?? null)`;
    let last = "null";
    await eventually(async () => {
      const now = await this.run<string>(`return ${box}`);
      const stands = now !== "null" && now === last;
      last = now;
      if (!stands) throw new Error(`${selector} is not there or moves.`);
    }, patience);
    await this.wire.send("click", { id: await this.find(selector) });
  }

  /** Hands files to an input; their paths are absolute. */
  async setFiles(selector: string, paths: readonly string[]): Promise<void> {
    await this.wire.send("type", { id: await this.find(selector), text: paths.join("\n") });
  }

  /** Makes the page, not the window, this large in CSS pixels. */
  async resize(width: number, height: number): Promise<void> {
    let window = { width, height };
    for (let attempt = 0; attempt < 3; attempt++) {
      await this.wire.send("rect", window);
      await new Promise((resolve) => setTimeout(resolve, 300));
      const [wide, high] = await this.run<number[]>("return [innerWidth, innerHeight]");
      if (wide === width && high === height) return;
      window = { width: window.width + width - wide, height: window.height + height - high };
    }
    throw new Error(`The page could not be made ${width} x ${height}.`);
  }

  /** What is in view, as a PNG. */
  async picture(): Promise<Buffer> {
    return Buffer.from((await this.wire.send("picture", { full: false })) as string, "base64");
  }

  /** The page as it prints, as a PDF; lengths in cm. */
  async print(width: number, height: number): Promise<Buffer> {
    const body = { page: { width, height }, background: true };
    return Buffer.from((await this.wire.send("print", body)) as string, "base64");
  }

  close(): Promise<void> {
    return this.wire.close();
  }

  private async find(selector: string): Promise<string> {
    const body = { using: "css selector", value: selector };
    return ((await this.wire.send("find", body)) as Record<string, string>)[elementKey];
  }
}

/** A program that is started for a test and stopped again. */
export function startProgram(
  command: string,
  args: readonly string[],
  env: NodeJS.ProcessEnv = {},
): { process: ChildProcess; stop(): Promise<void> } {
  const child = spawn(command, [...args], { stdio: "ignore", env: { ...process.env, ...env } });
  child.on("error", () => undefined);
  return {
    process: child,
    stop: async () => {
      if (child.exitCode === null && child.signalCode === null && child.pid) {
        const ended = once(child, "exit");
        child.kill();
        await ended;
      }
    },
  };
}

/** Tries until it works; a program that starts needs a moment. */
export async function eventually<T>(work: () => Promise<T>, patience: number): Promise<T> {
  const end = Date.now() + patience;
  for (;;) {
    try {
      return await work();
    } catch (error) {
      if (Date.now() > end) throw error;
      await new Promise((resolve) => setTimeout(resolve, 100));
    }
  }
}
