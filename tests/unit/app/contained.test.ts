// @vitest-environment happy-dom
/** A stage that cannot be drawn says so; the page around it stays. */
import { act, createElement } from "react";
import { createRoot } from "react-dom/client";
import { expect, test, vi } from "vitest";
import { Contained } from "../../../src/app/parts/Contained.tsx";
import { failures, forgetFailures } from "../../../src/app/state/failures.ts";

const Fails = (): never => {
  throw new TypeError("entries.map is not a function");
};

test("a part that fails is replaced by a sentence, and the fault is reported", async () => {
  (globalThis as { IS_REACT_ACT_ENVIRONMENT?: boolean }).IS_REACT_ACT_ENVIRONMENT = true;
  vi.spyOn(console, "error").mockImplementation(() => undefined);
  forgetFailures();
  const props = { key: 2, instead: "cannot be shown", children: null };
  const place = document.body.appendChild(document.createElement("div"));
  const root = createRoot(place);
  await act(async () =>
    root.render([
      createElement("h1", { key: 1 }, "Job"),
      createElement(Contained, props, createElement(Fails)),
    ]),
  );
  expect(place.textContent).toBe("Jobcannot be shown");
  expect(failures.getState()).toMatchObject([
    { thing: null, reason: "entries.map is not a function" },
  ]);
  await act(async () => root.unmount());
});
