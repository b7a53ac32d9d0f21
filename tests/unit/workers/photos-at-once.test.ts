import { expect, test } from "vitest";
import { photosAtOnce } from "../../../workers/browser/browser-pool.ts";

test.each([
  ["a desktop that tells nothing", { hardwareConcurrency: 8 }, 3],
  ["a touch device that tells no memory", { hardwareConcurrency: 6, maxTouchPoints: 5 }, 2],
  ["2 GB", { hardwareConcurrency: 8, deviceMemory: 2, maxTouchPoints: 5 }, 1],
  ["4 GB", { hardwareConcurrency: 8, deviceMemory: 4, maxTouchPoints: 5 }, 2],
  ["8 GB", { hardwareConcurrency: 8, deviceMemory: 8, maxTouchPoints: 5 }, 3],
  ["two processors", { hardwareConcurrency: 2, deviceMemory: 8 }, 2],
  ["one processor", { hardwareConcurrency: 1, deviceMemory: 8 }, 1],
])("photos at once: %s", (_, device, count) => {
  expect(photosAtOnce(device)).toBe(count);
});
