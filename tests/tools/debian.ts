import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";

const runs = (command: string, args: readonly string[]): boolean =>
  spawnSync(command, [...args], { stdio: "ignore" }).status === 0;

export const onPath = (command: string): boolean => runs("sh", ["-c", `command -v ${command}`]);

/**
 * Makes sure that something from Debian is there: checks, installs where this is a Debian machine
 * and we are root, otherwise throws with what to install. Never skips in silence.
 */
export const ensureDebian = (
  present: () => boolean,
  packages: readonly string[],
  purpose: string,
): void => {
  if (present()) return;
  const root = process.getuid?.() === 0;
  if (!(existsSync("/etc/debian_version") && root && onPath("apt-get")))
    throw new Error(
      `${purpose} needs the package(s) ${packages.join(", ")}. Install them (Debian, Ubuntu: ` +
        `sudo apt-get install ${packages.join(" ")}) and run again.`,
    );
  console.log(`Installing ${packages.join(", ")} (${purpose})`);
  runs("apt-get", ["update", "-q"]);
  const install = spawnSync(
    "apt-get",
    ["install", "-y", "-q", "--no-install-recommends", ...packages],
    { encoding: "utf8", env: { ...process.env, DEBIAN_FRONTEND: "noninteractive" } },
  );
  if (!present())
    throw new Error(`${purpose}: installing ${packages.join(", ")} failed:\n${install.stderr}`);
};

const browsers = [
  "chromium",
  "chromium-browser",
  "google-chrome",
  "google-chrome-stable",
  "chrome",
];

/** Path of a Chrome or Chromium: $CHROME_PATH, or the first on the path. */
export const findChromium = (): string | null => {
  const named = process.env.CHROME_PATH;
  if (named && existsSync(named)) return named;
  for (const name of browsers) {
    const found = spawnSync("sh", ["-c", `command -v ${name}`], { encoding: "utf8" });
    if (found.status === 0) return found.stdout.trim();
  }
  const mac = "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome";
  return existsSync(mac) ? mac : null;
};

export const ensureChromium = (): string => {
  ensureDebian(() => findChromium() !== null, ["chromium"], "The browser test");
  return findChromium()!;
};

/** Flags for a test browser that makes no connection of its own. */
export const chromiumFlags = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];
