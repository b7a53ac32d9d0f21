import { useEffect, useRef } from "react";
import { useApp } from "../../context/app-context.ts";
import { go, jobHref } from "../../context/routes.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { inBackground } from "../../state/failures.ts";
import { loadJob } from "../../store/jobs.ts";

/** Between two looks into the store, ms: soon enough for two people in one bay, few enough requests. */
const lookAgainMs = 5000;

/** A shared job was joined before the phone that shares it had stored it: looks again until it is there. */
export function JobNotYet(props: {
  readonly job: string;
  readonly look: () => Promise<void>;
  readonly onStop: () => void;
}) {
  const { t } = useApp();
  const { job, onStop } = props;
  const look = useRef(props.look);
  look.current = props.look;
  useEffect(() => {
    let timer: ReturnType<typeof setTimeout> | undefined;
    let over = false;
    const lookAgain = async () => {
      await look.current();
      if (over) return;
      if (await loadJob(job)) go(jobHref(job));
      else timer = setTimeout(() => inBackground(lookAgain()), lookAgainMs);
    };
    timer = setTimeout(() => inBackground(lookAgain()), lookAgainMs);
    return () => {
      over = true;
      clearTimeout(timer);
    };
  }, [job]);
  return (
    <Notice kind="info" title={t("store.jobNotYet")} testId="job-not-yet">
      <Button onClick={onStop}>{t("store.jobStop")}</Button>
    </Notice>
  );
}
