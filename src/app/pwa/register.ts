import { createStore } from "zustand/vanilla";
import { inBackground } from "../state/failures.ts";
import { askToPersist } from "../store/database/quota.ts";

export interface OfflineStatus {
  /** "unsupported" on plain http, where browsers have no service worker. */
  readonly state: "unsupported" | "starting" | "shell ready" | "all ready";
  /** A newer program waits; it is used when all tabs are closed, or when asked for. */
  readonly waiting: ServiceWorker | null;
}

export const offlineStatus = createStore<OfflineStatus>(() => ({
  state: "serviceWorker" in navigator ? "starting" : "unsupported",
  waiting: null,
}));

const patch = (change: Partial<OfflineStatus>) => offlineStatus.setState(change);

/** Installs the service worker and, once the page is quiet, lets it fetch the rest. */
export function registerServiceWorker(): void {
  if (!("serviceWorker" in navigator) || import.meta.env.DEV) {
    return;
  }
  navigator.serviceWorker.addEventListener("message", (event) => {
    if (event.data === "all ready") {
      patch({ state: "all ready" });
    }
  });
  window.addEventListener("load", () => {
    inBackground(
      navigator.serviceWorker
        .register("./sw.js", { updateViaCache: "none" })
        .then(watch, () => patch({ state: "unsupported" })),
    );
  });
}

async function watch(registration: ServiceWorkerRegistration | undefined): Promise<void> {
  if (!registration) {
    patch({ state: "unsupported" });
    return;
  }
  const look = () => {
    if (registration.waiting && registration.active) {
      patch({ waiting: registration.waiting });
    }
  };
  look();
  registration.addEventListener("updatefound", () => {
    registration.installing?.addEventListener("statechange", look);
  });
  const ready = await navigator.serviceWorker.ready;
  patch({ state: "shell ready" });
  ready.active?.postMessage("fetch the rest");
  inBackground(askToPersist());
}

/** Uses the waiting program now. Only offered where no job is open. */
export function useWaitingProgram(): void {
  const { waiting } = offlineStatus.getState();
  if (waiting) {
    navigator.serviceWorker.addEventListener("controllerchange", () => window.location.reload(), {
      once: true,
    });
    waiting.postMessage("take over");
  }
}
