import { type ReactNode, useEffect, useRef, useState } from "react";
import { type Advice, LiveGuide } from "../../../watch/advice.ts";
import { useApp, useJobState, useSession } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { useAwake } from "../../parts/touch/use-awake.ts";
import { inBackground } from "../../state/failures.ts";
import { activePhotos, type JobState } from "../../state/job-state.ts";
import { everyFrame, grabFrame } from "../../stream/frames.ts";
import { useCamera } from "../../stream/use-camera.ts";
import { useStreamVision } from "../../stream/use-vision.ts";
import { CameraPicture, type DrawnBoard } from "./CameraPicture.tsx";
import { PagePhotos } from "./PagePhotos.tsx";

/** Photos that every board should be in. */
const wantedPhotos = 3;
/** ms between frames at most ten times a second: more is not seen and warms the phone. */
const leastMs = 100;

/**
 * What the camera sees now, with the boards found in it, and what to do better. `add`: the way to take
 * a photo with the phone's own camera.
 */
export function LiveView({ add }: { readonly add: ReactNode }) {
  const { t } = useApp();
  useAwake();
  const vision = useStreamVision();
  const state = useCamera();
  const { camera } = state;
  const session = useSession();
  const jobId = useJobState((job) => job.record.id);
  const counts = useJobState(photosPerBoard, sameCounts);
  const latest = useRef(counts);
  latest.current = counts;
  const [boards, setBoards] = useState<readonly DrawnBoard[]>([]);
  const [advice, setAdvice] = useState<Advice | null>(null);
  const [ready, setReady] = useState(0);
  const [torch, setTorch] = useState(false);
  const [changed, setChanged] = useState<{ before: string; now: string } | null>(null);
  const lens = useRef<string | null>(null);
  useEffect(() => {
    if (!camera) {
      return;
    }
    const { label } = camera.track;
    if (lens.current !== null && lens.current !== label) {
      setChanged({ before: lens.current, now: label });
    }
    lens.current = label;
    const ending = new AbortController();
    const guide = new LiveGuide();
    const look = async () => {
      const video = state.video.current;
      const worker = vision.current;
      const frame = worker && video && (await grabFrame(video));
      if (!frame) {
        return;
      }
      const at = performance.now();
      const { width, height, tags } = await worker.seeFrame(frame);
      if (ending.signal.aborted) {
        return;
      }
      const seen = tags.map(({ id, corners, burnt }) => ({ id, corners: [...corners], burnt }));
      const now = guide.push({ at, width, height, boards: seen }, latest.current, wantedPhotos);
      setBoards(seen);
      setAdvice(now.advice);
      if (now.ready) {
        setReady(at);
      }
      window.performance.mark("live frame shown");
    };
    inBackground(everyFrame(leastMs, ending.signal, look));
    return () => {
      ending.abort();
      setBoards([]);
    };
  }, [camera, state.video, vision]);
  const place = { purpose: "boards", position: 1, epoch: "before", about: "" } as const;
  return (
    <Panel title={t("live.title")} testId="live">
      <CameraPicture state={state} boards={boards} torch={torch} onTorch={setTorch}>
        <p className="live-advice" role="status" data-testid="live-advice" data-code={advice?.code}>
          {advice ? adviceWords(advice, t) : camera ? t("live.loading") : ""}
        </p>
        <p className="quiet" data-testid="live-seen">
          {t("live.seen", { count: boards.length })}
        </p>
      </CameraPicture>
      {changed ? <Notice kind="warning" title={t("live.lensChanged", changed)} /> : null}
      <h3>{t("live.counts")}</h3>
      {counts.size === 0 ? <p className="quiet">{t("live.countsNone")}</p> : null}
      <ul className="live-counts">
        {[...counts].map(([id, count]) => (
          <li
            key={id}
            data-enough={count >= wantedPhotos}
            data-seen={boards.some((board) => board.id === id)}
          >
            {id}: {count}/{wantedPhotos}
          </li>
        ))}
      </ul>
      <p>{t("live.explain")}</p>
      {add}
      {camera ? (
        <PagePhotos
          track={camera.track}
          ready={ready}
          onPhoto={(blob, name) => session.addPhotos([{ name, blob }], place)}
        />
      ) : null}
      <ButtonLink href={stageHref(jobId, "photos")} icon="back">
        {t("live.back")}
      </ButtonLink>
    </Panel>
  );
}

function adviceWords(advice: Advice, t: ReturnType<typeof useApp>["t"]): string {
  const { code, ...values } = advice;
  return t(`advice.${code}`, values as Record<string, number>);
}

/** In how many photos every board of the job is, boards by number. */
function photosPerBoard(state: JobState): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  for (const { id } of activePhotos(state, "boards")) {
    const outcome = state.outcomes.get(id)?.outcome;
    for (const board of outcome?.ok ? outcome.findings.boards : []) {
      const good = board.quality.grade !== "not used" ? 1 : 0;
      counts.set(board.id, (counts.get(board.id) ?? 0) + good);
    }
  }
  return new Map([...counts].sort(([a], [b]) => a - b));
}

const sameCounts = (a: ReadonlyMap<number, number>, b: ReadonlyMap<number, number>): boolean =>
  a.size === b.size && [...a].every(([id, count]) => b.get(id) === count);
