// @vitest-environment happy-dom
/** A language whose texts cannot be loaded (no network, half an update) leaves English, said in a line. */
import "fake-indexeddb/auto";
import { createElement } from "react";
import { createRoot } from "react-dom/client";
import { expect, test, vi } from "vitest";
import { defaultSettings } from "../../../src/app/store/database/schema.ts";
import { quickEngine } from "./app-store.ts";

test("the page is English instead of empty", async () => {
  vi.doMock("../../../src/app/i18n/es/spanish.ts", () => {
    throw new Error("Failed to fetch dynamically imported module");
  });
  const { saveSettings } = await import("../../../src/app/store/settings.ts");
  await saveSettings({ ...defaultSettings, language: "es" });
  const { App } = await import("../../../src/app/App.tsx");
  const place = document.body.appendChild(document.createElement("div"));
  const root = createRoot(place);
  root.render(createElement(App, { engine: quickEngine() }));
  await vi.waitFor(() => expect(place.textContent).toContain("New job"), { timeout: 10_000 });
  expect(place.textContent).toContain("could not be loaded");
  root.unmount();
});
