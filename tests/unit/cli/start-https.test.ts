/** `npm start -- --https` as a process: what it prints, serves and keeps. */
import { type ChildProcess, spawn } from "node:child_process";
import { X509Certificate } from "node:crypto";
import { mkdirSync, mkdtempSync, rmSync, statSync, writeFileSync } from "node:fs";
import { get } from "node:https";
import { networkInterfaces, tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { isPrivate } from "../../../src/cli/server/authority.ts";
import { authorityPath } from "../../../src/cli/server/trust-guide.ts";

const patience = 60_000;
const place = mkdtempSync(join(tmpdir(), "plumbshot-start-"));
const running = new Set<ChildProcess>();

beforeAll(() => {
  mkdirSync(join(place, "dist"));
  writeFileSync(join(place, "dist/index.html"), "<h1>the app</h1>");
});
afterAll(() => {
  for (const child of running) child.kill();
  rmSync(place, { recursive: true, force: true });
});

interface Started {
  readonly said: string;
  readonly port: number;
  readonly guide: string | null;
  stop(): void;
}

/** Starts the server; resolves once it has said how to be trusted no more, its last sentence. */
async function start(): Promise<Started> {
  const tsx = import.meta.resolve("tsx");
  const args = [
    "--import",
    tsx,
    resolve("src/cli/serve.ts"),
    "--https",
    "--port",
    "0",
    "--no-build",
  ];
  const env = { ...process.env, XDG_CONFIG_HOME: join(place, "config") };
  const child = spawn(process.execPath, args, { cwd: place, env });
  running.add(child);
  let said = "";
  await new Promise<void>((done, failed) => {
    child.stdout.on("data", (text) => {
      said += text;
      if (said.includes("trusted no more")) done();
    });
    child.stderr.on("data", (text) => {
      said += text;
    });
    child.on("exit", (code) => failed(new Error(`ended with ${code}: ${said}`)));
  });
  child.removeAllListeners("exit");
  return {
    said,
    port: Number(/https:\/\/localhost:(\d+)/.exec(said)?.[1]),
    guide: /steps with pictures:\s+(\S+)/.exec(said)?.[1] ?? null,
    stop: () => child.kill(),
  };
}

/** The text at an address, by https that trusts this authority alone; rejects where it does not hold. */
const secureText = (host: string, port: number, ca: string): Promise<string> =>
  new Promise((done, failed) => {
    const request = get({ host, port, path: "/", ca, agent: false }, (response) => {
      let text = "";
      response.on("data", (part) => {
        text += part;
      });
      response.on("end", () => done(text));
    });
    request.on("error", failed);
  });

const localAddresses = (): string[] =>
  Object.values(networkInterfaces())
    .flat()
    .flatMap((net) => (net?.family === "IPv4" && !net.internal ? [net.address] : []));

test(
  "an authority is made once, phones get it from a page, and every local address is served under it",
  async () => {
    const first = await start();
    expect(first.port).toBeGreaterThan(0);
    const local = localAddresses();
    for (const address of local)
      expect(first.said).toContain(
        isPrivate(address)
          ? `https://${address}:${first.port}/`
          : `Not by https:               ${address}`,
      );
    expect(first.said).toMatch(/https:\/\/\S+\.local:/);
    const printed = /SHA-256\): ([0-9A-F ]+)/.exec(first.said)?.[1].replaceAll(" ", "");
    if (first.guide === null) {
      expect(local, "without a network there is no page for phones").toEqual([]);
      first.stop();
      return;
    }
    const page = await fetch(first.guide);
    const named = /By name, where the network knows it: (\S+)/.exec(first.said)?.[1] ?? "";
    expect(named).toMatch(/\.local:/);
    expect(await page.text()).toContain(named);
    const answer = await fetch(new URL(authorityPath, first.guide));
    const authority = new X509Certificate(Buffer.from(await answer.arrayBuffer()));
    expect(authority.ca).toBe(true);
    expect(authority.fingerprint256.replaceAll(":", "")).toBe(printed);
    const pem = authority.toString();
    for (const host of ["localhost", ...local.filter(isPrivate)])
      expect(await secureText(host, first.port, pem), host).toContain("the app");
    // Proof that the check can fail: an address that the certificate does not name.
    await expect(secureText("127.0.0.1", first.port, pem)).rejects.toThrow("altnames");
    first.stop();
    // The key is for its owner alone, and the next start is trusted as this one was.
    const kept = join(place, "config/plumbshot/https/authority.json");
    expect(statSync(kept).mode & 0o077).toBe(0);
    const second = await start();
    expect(second.said).toContain(first.said.match(/SHA-256\): [0-9A-F ]+/)?.[0]);
    expect(await secureText("localhost", second.port, pem)).toContain("the app");
    second.stop();
  },
  patience,
);
