import { useEffect, useMemo, useRef, useState } from "react";
import { type LogEvent, type Sample, WatchLog } from "../../../watch/log.ts";
import { Watch, type WatchState } from "../../../watch/watch.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { readySignals, signal } from "../../parts/touch/signals.ts";
import { useAwake } from "../../parts/touch/use-awake.ts";
import { Words } from "../../parts/Words.tsx";
import { inBackground } from "../../state/failures.ts";
import { newId } from "../../store/database/database.ts";
import { saveAttachment } from "../../store/records/revisions.ts";
import { everyFrame, grabFrame } from "../../stream/frames.ts";
import { useCamera } from "../../stream/use-camera.ts";
import { useStreamVision } from "../../stream/use-vision.ts";
import { watchLimits } from "../../stream/watch-limits.ts";
import { CameraPicture, type DrawnBoard } from "./CameraPicture.tsx";
import { StripChart } from "./StripChart.tsx";

const everyMs = 1000;
/** A gap between measurements that is told, ms: the page was away. */
const gapMs = 5000;
/** Events shown, the latest first. */
const shownEvents = 12;

interface Shown {
  readonly state: WatchState | null;
  readonly events: readonly LogEvent[];
  readonly courses: readonly (readonly [number, readonly Sample[]])[];
  readonly seconds: number;
  readonly boards: readonly DrawnBoard[];
}
const nothing: Shown = { state: null, events: [], courses: [], seconds: 0, boards: [] };

/** Watches the stand while the scan tool runs: a strip chart for every board, an alarm, a log. */
export function WatchView() {
  const { t } = useApp();
  useAwake();
  const vision = useStreamVision();
  const camera = useCamera();
  const { session, state: job } = useJob();
  const [running, setRunning] = useState(false);
  const [shown, setShown] = useState<Shown>(nothing);
  const [alarm, setAlarm] = useState<LogEvent | null>(null);
  const [moved, setMoved] = useState(false);
  const [kept, setKept] = useState(false);
  const [torch, setTorch] = useState(false);
  const log = useRef<{ log: WatchLog; startedAt: string; start: number } | null>(null);
  const watch = useRef<Watch | null>(null);
  const { cellMm } = job.record.boards;
  const settings = useMemo(() => watchLimits(job.record), [job.record]);
  const open = camera.camera;
  useEffect(() => {
    if (!open || !running) {
      return;
    }
    const ending = new AbortController();
    watch.current ??= new Watch({ ...settings, cellMm: () => cellMm });
    log.current ??= {
      log: new WatchLog(),
      startedAt: new Date().toISOString(),
      start: performance.now(),
    };
    const { log: kept, start } = log.current;
    let last = performance.now() - start;
    const measure = async () => {
      const video = camera.video.current;
      const worker = vision.current;
      const frame = worker && video && (await grabFrame(video));
      if (!frame || !watch.current) {
        return;
      }
      const at = performance.now() - start;
      const found = await worker.measureFrame(frame);
      if (ending.signal.aborted) {
        return;
      }
      const gap = at - last;
      last = at;
      if (gap > gapMs) {
        kept.note({ kind: "not seen", at, seconds: Math.round(gap / 1000) });
      }
      const state = watch.current.push({ at, ...found });
      kept.add(at, state);
      const movement = state.events.find(({ kind }) => kind === "moved");
      const trouble = movement ?? state.events.find(({ kind }) => kind === "begun anew");
      if (trouble) {
        setAlarm(trouble);
        setMoved(true);
        signal("alarm");
      }
      setShown({
        state,
        events: kept.events.slice(-shownEvents).reverse(),
        courses: [...kept.courses].map(([id, samples]) => [id, samples.slice(-600)] as const),
        seconds: at / 1000,
        boards: found.boards.map(({ id, outline }) => ({ id, corners: outline })),
      });
    };
    inBackground(everyFrame(everyMs, ending.signal, measure));
    return () => {
      ending.abort();
    };
  }, [open, running, cellMm, settings, camera.video, vision]);
  const start = () => {
    readySignals();
    watch.current = null;
    log.current = null;
    setShown(nothing);
    setAlarm(null);
    setMoved(false);
    setKept(false);
    setRunning(true);
  };
  const stop = async () => {
    setRunning(false);
    const done = log.current;
    if (!done) {
      return;
    }
    const { sidewaysMm, depthMm, falseAlarmsPerHour } = settings;
    const file = done.log.file(done.startedAt, { sidewaysMm, depthMm, falseAlarmsPerHour });
    const name = `watch-${done.startedAt.slice(0, 19).replace(/[:T]/g, "-")}.json`;
    const type = "application/json";
    const blob = new File([JSON.stringify(file)], name, { type });
    const id = newId();
    await saveAttachment(id, blob, name);
    const addedAt = new Date().toISOString();
    const item = { id, name, kind: "other" as const, type, byteLength: blob.size, addedAt };
    session.update((record) => ({
      ...record,
      record: { ...record.record, attachments: [...record.record.attachments, item] },
    }));
    setKept(true);
  };
  const { state, courses, events, seconds } = shown;
  const inView = state?.boards.filter(({ mm }) => mm !== null).length ?? 0;
  return (
    <Panel title={t("watch.title")} testId="watch">
      <p>
        <Words text={t("watch.explain")} />
      </p>
      <CameraPicture state={camera} boards={shown.boards} torch={torch} onTorch={setTorch}>
        <p className="live-advice" role="status" data-testid="watch-state">
          {running && state?.phase === "settling"
            ? t("watch.settling", { count: state.toSettle })
            : running && state && !alarm
              ? t(moved ? "watch.hasMoved" : "watch.quiet")
              : ""}
        </p>
        {running && state?.phase === "watching" ? (
          <p className="quiet">
            {t("watch.quietLong", { minutes: Math.floor(seconds / 60), count: inView })}
          </p>
        ) : null}
      </CameraPicture>
      {alarm ? (
        <Notice kind="error" testId="watch-alarm">
          <p>
            <EventWords event={alarm} />
          </p>
          <Button onClick={() => setAlarm(null)}>{t("watch.seen")}</Button>
        </Notice>
      ) : null}
      {running && state?.phase === "watching" && !state.anchored ? (
        <Notice kind="warning" title={t("watch.noAnchor")} />
      ) : null}
      <div className="button-row">
        {running ? (
          <Button kind="now" onClick={() => inBackground(stop())}>
            {t("watch.stop")}
          </Button>
        ) : (
          <Button kind="now" disabled={!open} onClick={start}>
            {t("watch.start")}
          </Button>
        )}
      </div>
      {kept ? <Notice kind="info" title={t("watch.kept")} testId="watch-kept" /> : null}
      {courses.map(([id, samples]) => (
        <StripChart key={id} board={id} samples={samples} limits={settings} />
      ))}
      <ul className="plain-list" data-testid="watch-events">
        {events.map((event) => (
          <li key={keyOf(event)}>
            <span className="number quiet">{clockOf(event.at)}</span> <EventWords event={event} />
          </li>
        ))}
      </ul>
      <p className="small quiet">{t("watch.caution")}</p>
      <ButtonLink href={stageHref(job.record.id, "record")} icon="back">
        {t("stage.record")}
      </ButtonLink>
    </Panel>
  );
}

/** One event of a moment from the others: several boards may be hidden, or move, at once. */
const keyOf = (event: LogEvent): string => {
  const what = "body" in event ? event.body : "board" in event ? event.board : "";
  return `${event.kind}-${event.at}-${what}`;
};

/** Minutes and seconds since the watch began. */
const clockOf = (ms: number): string =>
  `${Math.floor(ms / 60_000)}:${String(Math.floor(ms / 1000) % 60).padStart(2, "0")}`;

function EventWords({ event }: { readonly event: LogEvent }) {
  const { t, showMeasured, showUncertainty } = useApp();
  switch (event.kind) {
    case "moved":
      return t("watch.moved", {
        body: event.body === "stand" ? t("watch.stand") : t("watch.board", { board: event.body }),
        sideways: showMeasured(event.sidewaysMm, "length", 1),
        sidewaysU: showUncertainty(event.sidewaysU, "length", 1),
        depth: showMeasured(event.depthMm, "length", 1),
        depthU: showUncertainty(event.depthU, "length", 1),
      });
    case "phone moved":
      return t("watch.phone moved", { px: event.px.toFixed(1) });
    case "hidden":
      return t("watch.hidden", { board: event.board, seconds: event.seconds });
    case "not seen":
      return t("watch.not seen", { seconds: event.seconds });
    case "watching":
      return t("watch.watching", { count: event.boards.length });
    case "begun anew":
      return t("watch.begun anew");
  }
}
