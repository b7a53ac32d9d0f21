import { lazy, Suspense, useEffect, useState } from "react";
import { JobContext, useApp, useJobState } from "../../context/app-context.ts";
import type { Stage, StageProps } from "../../context/routes.ts";
import { jobHref } from "../../context/routes.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Contained } from "../../parts/Contained.tsx";
import { JobSession } from "../../session/job-session.ts";
import { inBackground } from "../../state/failures.ts";
import { jobTitle } from "../../state/title-block.ts";
import type { UnreadableJob } from "../../store/jobs.ts";
import { Frame } from "../frame/Frame.tsx";
import { problemWords } from "../jobs/Backup.tsx";
import { JobOverview } from "./JobOverview.tsx";
import { StageFrame } from "./StageFrame.tsx";
import { StageList } from "./StageList.tsx";
import { TroubleLines } from "./TroubleLines.tsx";
import { UndoLine } from "./UndoLine.tsx";
import { WorkLine } from "./WorkLine.tsx";

const stageScreens: Record<Stage, React.LazyExoticComponent<React.ComponentType<StageProps>>> = {
  car: lazy(() => import("../car/CarStage.tsx")),
  sheet: lazy(() => import("../sheet/SheetStage.tsx")),
  bay: lazy(() => import("../car/BayStage.tsx")),
  boards: lazy(() => import("../boards/BoardsStage.tsx")),
  camera: lazy(() => import("../camera/CameraStage.tsx")),
  photos: lazy(() => import("../photos/PhotosStage.tsx")),
  placement: lazy(() => import("../placement/PlacementStage.tsx")),
  record: lazy(() => import("../record/RecordStage.tsx")),
};

interface JobScreenProps {
  readonly id: string;
  readonly stage: Stage | null;
  readonly detail: string;
}

export default function JobScreen({ id, stage, detail }: JobScreenProps) {
  const { t, engine } = useApp();
  const [session, setSession] = useState<JobSession | UnreadableJob | null | "missing">(null);
  useEffect(() => {
    let opened: JobSession | null = null;
    let left = false;
    const opening = JobSession.open(id, engine).then((found) => {
      opened = found instanceof JobSession ? found : null;
      if (left) {
        opened?.close();
      } else {
        setSession(found ?? "missing");
      }
    });
    inBackground(opening);
    return () => {
      left = true;
      opened?.close();
    };
  }, [id, engine]);
  if (session === null) {
    return <Frame title="Plumbshot" back={{ href: "#/", label: t("jobs.title") }} />;
  }
  if (!(session instanceof JobSession)) {
    const reason = session === "missing" ? null : problemWords(session, t);
    return (
      <Frame title="Plumbshot" back={{ href: "#/", label: t("jobs.title") }}>
        <div className="jobs">
          <h1>{reason ? t("job.unreadable", { reason }) : t("job.missing")}</h1>
          <p>{t(reason ? "job.unreadableHelp" : "job.missingHelp")}</p>
          <div className="button-row">
            <ButtonLink href="#/" kind="now" icon="back">
              {t("jobs.title")}
            </ButtonLink>
          </div>
        </div>
      </Frame>
    );
  }
  return (
    <JobContext value={session}>
      <OpenJob stage={stage} detail={detail} />
    </JobContext>
  );
}

function OpenJob({ stage, detail }: { readonly stage: Stage | null; readonly detail: string }) {
  const { t } = useApp();
  const id = useJobState((state) => state.record.id);
  const title = useJobState((state) => jobTitle(state.record, t("jobs.untitled")));
  const Screen = stage ? stageScreens[stage] : null;
  const back = stage ? { href: jobHref(id), label: title } : { href: "#/", label: t("jobs.title") };
  return (
    <Frame title={title} back={back}>
      <div className={`job ${stage ? "job-in-stage" : ""}`}>
        <nav className="job-rail" aria-label={t("job.stages")}>
          <StageList current={stage} />
        </nav>
        <div className="job-content">
          <TroubleLines />
          <WorkLine />
          <UndoLine />
          {Screen && stage ? (
            <StageFrame stage={stage} detail={detail}>
              <Contained key={`${stage}/${detail}`} instead={<p>{t("failure.screen")}</p>}>
                <Suspense fallback={null}>
                  <Screen detail={detail} />
                </Suspense>
              </Contained>
            </StageFrame>
          ) : (
            <JobOverview />
          )}
        </div>
      </div>
    </Frame>
  );
}
