import { useState } from "react";
import { barLevel, type FaceReading, faceReading, type Gravity } from "../../../watch/level.ts";
import { useApp, useJobState } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { inBackground } from "../../state/failures.ts";

const readingMs = 3000;

/** iOS asks before it gives motion to a page. */
type MotionPermission = { requestPermission?: () => Promise<"granted" | "denied"> };

/** Gravity for three seconds; null where the phone gives none. */
async function gravitySamples(): Promise<Gravity[] | null> {
  if (typeof DeviceMotionEvent === "undefined") {
    return null;
  }
  const asked = (DeviceMotionEvent as unknown as MotionPermission).requestPermission;
  if (asked && (await asked()) !== "granted") {
    return null;
  }
  const samples: Gravity[] = [];
  const take = ({ accelerationIncludingGravity: g }: DeviceMotionEvent) => {
    if (g && g.x !== null && g.y !== null && g.z !== null) {
      samples.push([g.x, g.y, g.z]);
    }
  };
  window.addEventListener("devicemotion", take);
  await new Promise((resolve) => setTimeout(resolve, readingMs));
  window.removeEventListener("devicemotion", take);
  return samples.length > 0 ? samples : null;
}

/** The phone as a level for a target bar: two faces, an aid with its own uncertainty. */
export function LevelView() {
  const { t, show, showMeasured, showUncertainty } = useApp();
  const jobId = useJobState((state) => state.record.id);
  const [faces, setFaces] = useState<readonly FaceReading[]>([]);
  const [problem, setProblem] = useState<
    "level.none" | "level.too few" | "level.shaken" | "level.not on edge" | null
  >(null);
  const [reading, setReading] = useState(false);
  const read = async () => {
    setProblem(null);
    setReading(true);
    try {
      const samples = await gravitySamples();
      const face = samples && faceReading(samples);
      if (!face) {
        setProblem("level.none");
      } else if (face.ok) {
        setFaces((before) => [...before, face.reading]);
      } else {
        setProblem(`level.${face.reason}`);
      }
    } finally {
      setReading(false);
    }
  };
  const level = faces.length === 2 ? barLevel(faces[0], faces[1]) : null;
  return (
    <Panel title={t("level.title")} testId="level">
      <p>{t("level.explain")}</p>
      <p className="live-advice" role="status" data-testid="level-state">
        {level
          ? t("level.result", {
              angle: showMeasured(level.deg, "angle", 2),
              u: showUncertainty(level.degU, "angle", 2),
              slope: showMeasured(level.mmPerM, "length", 1),
              slopeU: showUncertainty(level.mmPerMU, "length", 1),
              length: show(1000, "length", 0),
            })
          : t(reading ? "level.reading" : faces.length === 0 ? "level.first" : "level.second")}
      </p>
      {level ? (
        <p>
          {t(
            Math.abs(level.deg) < level.degU
              ? "level.noTilt"
              : level.deg > 0
                ? "level.topHigher"
                : "level.topLower",
          )}
        </p>
      ) : null}
      {problem ? <Notice kind="warning" title={t(problem)} testId="level-problem" /> : null}
      <div className="button-row">
        {level ? (
          <Button onClick={() => setFaces([])}>{t("level.again")}</Button>
        ) : (
          <Button kind="now" disabled={reading} onClick={() => inBackground(read())}>
            {t("level.read")}
          </Button>
        )}
      </div>
      <p className="small quiet">{t("level.caution")}</p>
      <ButtonLink href={stageHref(jobId, "placement")} icon="back">
        {t("stage.placement")}
      </ButtonLink>
    </Panel>
  );
}
