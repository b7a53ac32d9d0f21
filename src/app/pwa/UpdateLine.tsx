import { useStore } from "zustand";
import { useApp } from "../context/app-context.ts";
import { useRoute } from "../context/routes.ts";
import { Button } from "../parts/Button.tsx";
import { offlineStatus, useWaitingProgram } from "./register.ts";

/** A newer program is ready: offered on the jobs list only, so that no job is interrupted. */
export function UpdateLine() {
  const { t } = useApp();
  const route = useRoute();
  const status = useStore(offlineStatus);
  if (!status.waiting || route.page !== "jobs") {
    return null;
  }
  return (
    <div className="update" role="status">
      <span>{t("update.ready")}</span>
      <Button onClick={useWaitingProgram}>{t("update.use")}</Button>
    </div>
  );
}
