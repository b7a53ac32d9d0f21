import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { join } from "node:path";
import { ensureDebian } from "../tools/debian.ts";

/** Runs Debian's OpenCV and AprilTag on pictures; see native_tags.py for what comes back. */
export function runNative<Answer>(
  mode: "corners" | "times" | "ids" | "unrefined",
  pictures: readonly { path: string; id?: number; ring?: readonly number[] }[],
): Answer[] {
  ensureDebian(
    () => spawnSync("/usr/bin/python3", ["-c", "import cv2, cv2.aruco"]).status === 0,
    ["python3-opencv", "python3-numpy"],
    "The comparison with native OpenCV",
  );
  ensureDebian(
    () => existsSync("/usr/lib/x86_64-linux-gnu/libapriltag.so.3") || hasAprilTag(),
    ["libapriltag3"],
    "The comparison with AprilTag",
  );
  const script = join(import.meta.dirname, "native_tags.py");
  const run = spawnSync("/usr/bin/python3", [script], {
    input: JSON.stringify({ mode, pictures }),
    encoding: "utf8",
    maxBuffer: 1 << 28,
  });
  if (run.status !== 0) throw new Error(`native_tags.py failed: ${run.stderr}`);
  return JSON.parse(run.stdout);
}

const hasAprilTag = (): boolean =>
  spawnSync("/usr/bin/python3", ["-c", "import ctypes; ctypes.CDLL('libapriltag.so.3')"]).status ===
  0;
