import { useStore } from "zustand";
import { useApp } from "../context/app-context.ts";
import { offlineStatus } from "./register.ts";

const texts = {
  unsupported: "offline.unsupported",
  starting: "offline.starting",
  "shell ready": "offline.shell",
  "all ready": "offline.all",
} as const;

/** Whether the tool works without a network, in one sentence. */
export function OfflineState() {
  const { t } = useApp();
  const status = useStore(offlineStatus);
  return (
    <p data-testid="offline" data-state={status.state}>
      {t(texts[status.state])}
    </p>
  );
}
