import { beforeEach, describe, expect, test, vi } from "vitest";
import {
  failures,
  forgetFailures,
  inBackground,
  watchFailures,
} from "../../../src/app/state/failures.ts";
import { isQuotaError, NotSaved, saving } from "../../../src/app/store/database/not-saved.ts";

describe("what failed where nobody waited", () => {
  beforeEach(() => {
    forgetFailures();
    vi.spyOn(console, "error").mockImplementation(() => undefined);
  });

  test("is shown with the thing that was not saved, the same failure once", async () => {
    const write = () =>
      saving("sheet", "Board ahead", () =>
        Promise.reject(new DOMException("no disk", "UnknownError")),
      );
    inBackground(write());
    inBackground(write());
    await vi.waitFor(() => expect(failures.getState()).toHaveLength(1));
    expect(failures.getState()[0]).toMatchObject({
      thing: "sheet",
      called: "Board ahead",
      reason: "no disk",
    });
  });

  test("is caught at last by the page's handler", () => {
    const page = new EventTarget();
    watchFailures(page);
    const event = new Event("unhandledrejection", { cancelable: true });
    Object.assign(event, { reason: new NotSaved("settings", "", new Error("full")) });
    page.dispatchEvent(event);
    expect(event.defaultPrevented).toBe(true);
    expect(failures.getState()).toMatchObject([{ thing: "settings", reason: "full" }]);
  });

  test("a full device is known through its wrapping", () => {
    const full = new DOMException("", "QuotaExceededError");
    expect(isQuotaError(new NotSaved("photo", "a.jpg", full))).toBe(true);
    expect(isQuotaError(new NotSaved("photo", "a.jpg", new Error("other")))).toBe(false);
  });
});
