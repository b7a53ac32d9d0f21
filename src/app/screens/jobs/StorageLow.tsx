import { useEffect, useState } from "react";
import { useApp } from "../../context/app-context.ts";
import { Notice } from "../../parts/Notice.tsx";
import { inBackground } from "../../state/failures.ts";
import { type StorageState, storageState } from "../../store/database/quota.ts";

/** From this share on, or with less than this left, the device is nearly full for us. */
const fullShare = 0.8;
const leastLeftBytes = 300e6;

/** Says so before the device refuses a photo. */
export function StorageLow() {
  const { t, locale } = useApp();
  const [state, setState] = useState<StorageState | null>(null);
  useEffect(() => {
    inBackground(storageState().then(setState));
  }, []);
  if (!state?.quota) {
    return null;
  }
  const left = state.quota - state.used;
  if (state.used < fullShare * state.quota && left > leastLeftBytes) {
    return null;
  }
  const megabytes = new Intl.NumberFormat(locale, { maximumFractionDigits: 0 }).format(left / 1e6);
  return (
    <Notice kind="warning" title={t("storage.low", { left: megabytes })}>
      <p>{t("trouble.fullExplain")}</p>
    </Notice>
  );
}
