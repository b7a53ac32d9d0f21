import { execFileSync } from "node:child_process";
import { mkdirSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { ensureDebian, onPath } from "./debian.ts";

/**
 * A certificate store of NSS, which Chromium on Linux and Firefox read, in a folder of its own; it trusts
 * this authority (PEM) or, without one, nobody that the browser does not trust by itself.
 */
export function nssStore(folder: string, authority: string | null): void {
  ensureDebian(() => onPath("certutil"), ["libnss3-tools"], "The https test");
  mkdirSync(folder, { recursive: true });
  execFileSync("certutil", ["-N", "-d", `sql:${folder}`, "--empty-password"]);
  if (!authority) return;
  const file = join(folder, "authority.crt");
  writeFileSync(file, authority);
  execFileSync("certutil", ["-A", "-d", `sql:${folder}`, "-n", "bay", "-t", "C,,", "-i", file]);
}
