import "../../workers/browser/no-eval.ts";
import { StrictMode } from "react";
import { createRoot } from "react-dom/client";
import { App } from "./App.tsx";
import { workerEngine } from "./engine/engine-workers.ts";
import { ignoreDoubleTaps } from "./parts/touch/double-tap.ts";
import { keepFocus } from "./parts/touch/keep-focus.ts";
import { registerServiceWorker } from "./pwa/register.ts";
import { watchFailures } from "./state/failures.ts";
import "./styles/index.css";

const root = document.getElementById("root");
if (!root) {
  throw new Error("index.html has no #root.");
}
createRoot(root).render(
  <StrictMode>
    <App engine={workerEngine} />
  </StrictMode>,
);
keepFocus(root);
ignoreDoubleTaps(root);
registerServiceWorker();
watchFailures(window);
