import { useEffect, useRef, useState } from "react";
import { pagePhotosCheck } from "../../../watch/page-photos.ts";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { inBackground } from "../../state/failures.ts";

/** W3C Image Capture, in Chrome and in Safari from 18.4. */
interface PhotoTaker {
  takePhoto(): Promise<Blob>;
}
declare const ImageCapture: undefined | (new (track: MediaStreamTrack) => PhotoTaker);

/** ms between two photos taken by themselves. */
const pauseMs = 2500;

/**
 * Photos from the page itself: offered only after two of them have shown that they are of full size
 * and that nothing changes between them.
 */
export function PagePhotos(props: {
  readonly track: MediaStreamTrack;
  /** Changes whenever the view is still and good. */
  readonly ready: number;
  readonly onPhoto: (blob: Blob, name: string) => Promise<unknown>;
}) {
  const { track, ready, onPhoto } = props;
  const { t, engine } = useApp();
  const [said, setSaid] = useState<string | null>(null);
  const [good, setGood] = useState(false);
  const [on, setOn] = useState(false);
  const [count, setCount] = useState(0);
  const last = useRef(0);
  const busy = useRef(false);
  useEffect(() => {
    if (!on || ready === 0 || busy.current || performance.now() - last.current < pauseMs) {
      return;
    }
    busy.current = true;
    const take = async () => {
      const blob = await new ImageCapture!(track).takePhoto();
      last.current = performance.now();
      await onPhoto(blob, `page-${new Date().toISOString().replace(/[:.]/g, "-")}.jpg`);
      setCount((taken) => taken + 1);
    };
    inBackground(
      take().finally(() => {
        busy.current = false;
      }),
    );
  }, [on, ready, track, onPhoto]);
  if (typeof ImageCapture === "undefined") {
    return null;
  }
  const check = async () => {
    setSaid(t("live.checking"));
    const taker = new ImageCapture!(track);
    const outcomes = [];
    for (const name of ["check 1", "check 2"]) {
      const blob = await taker.takePhoto();
      const never = new AbortController().signal;
      outcomes.push(await engine.examine({ name, blob, what: "boards", lens: null }, never));
    }
    const verdict = pagePhotosCheck(outcomes[0], outcomes[1]);
    setGood(verdict.code === "good");
    if (verdict.code === "good") {
      setSaid(t("live.checkGood", { ...verdict.values, px: verdict.values.px.toFixed(1) }));
    } else if (verdict.code === "small") {
      setSaid(t("live.checkSmall", verdict.values));
    } else {
      setSaid(t(verdict.code === "nothing" ? "live.checkNothing" : "live.checkUnsteady"));
    }
  };
  return (
    <div className="page-photos">
      {good ? (
        <>
          <Button aria-pressed={on} onClick={() => setOn(!on)}>
            {t("live.auto")}
          </Button>
          <p className="small quiet">{t("live.autoHint")}</p>
          {count > 0 ? <p role="status">{t("live.autoTaken", { count })}</p> : null}
        </>
      ) : (
        <Button onClick={() => inBackground(check())}>{t("live.check")}</Button>
      )}
      {said ? <p role="status">{said}</p> : null}
    </div>
  );
}
