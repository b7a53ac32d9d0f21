import { useEffect, useRef, useState } from "react";
import { useApp, useJobState, useSession } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { readySignals } from "../../parts/touch/signals.ts";
import type { PhotoPlace } from "../../photos/add-photos.ts";
import { inBackground } from "../../state/failures.ts";
import type { RefusalCode } from "../../state/photo/photo-intake.ts";
import { StorageLow } from "../jobs/StorageLow.tsx";

interface AddPhotosProps {
  readonly place: PhotoPlace;
  /** True where adding photos is the thing to do now. */
  readonly now: boolean;
  readonly testId: string;
}

/** Photos from the camera or from files, several at once, also by dropping them here. */
export function AddPhotos({ place, now, testId }: AddPhotosProps) {
  const { t, settings } = useApp();
  const session = useSession();
  const refusals = useJobState((state) => state.refusals);
  const camera = useRef<HTMLInputElement>(null);
  const files = useRef<HTMLInputElement>(null);
  const [adding, setAdding] = useState(0);
  const [over, setOver] = useState(false);
  useEffect(() => session.warmUp(), [session]);
  useEffect(() => {
    const closed = () => session.cameraCloses();
    const inputs = [camera.current, files.current];
    for (const input of inputs) {
      input?.addEventListener("cancel", closed);
    }
    return () => {
      for (const input of inputs) {
        input?.removeEventListener("cancel", closed);
      }
    };
  }, [session]);
  const add = async (list: FileList | null) => {
    const chosen = Array.from(list ?? []);
    setAdding((count) => count + chosen.length);
    try {
      await session.addPhotos(
        chosen.map((file) => ({ name: file.name, blob: file })),
        place,
      );
    } finally {
      setAdding((count) => count - chosen.length);
    }
  };
  const picked = (input: HTMLInputElement) => {
    const adding = add(input.files).finally(() => {
      input.value = "";
    });
    inBackground(adding);
  };
  const open = (input: HTMLInputElement | null) => {
    session.cameraOpens();
    if (settings.tones) {
      readySignals();
    }
    input?.click();
  };
  return (
    // biome-ignore lint/a11y/noStaticElementInteractions: dropping files is a second way, for mice
    <div
      className={`add-photos ${over ? "add-photos-over" : ""}`}
      onDragOver={(event) => {
        event.preventDefault();
        setOver(true);
      }}
      onDragLeave={() => setOver(false)}
      onDrop={(event) => {
        event.preventDefault();
        setOver(false);
        inBackground(add(event.dataTransfer.files));
      }}
    >
      <input
        ref={camera}
        type="file"
        accept="image/*"
        capture="environment"
        hidden
        onChange={(event) => picked(event.currentTarget)}
      />
      <input
        ref={files}
        type="file"
        accept="image/*,.heic,.heif"
        multiple
        hidden
        data-testid={testId}
        onChange={(event) => picked(event.currentTarget)}
      />
      <StorageLow />
      <div className="button-row">
        <Button kind={now ? "now" : "plain"} icon="camera" onClick={() => open(camera.current)}>
          {t("photos.take")}
        </Button>
        <Button icon="file" onClick={() => open(files.current)}>
          {t("photos.choose")}
        </Button>
      </div>
      <p className="small quiet add-photos-drop">{t("photos.drop")}</p>
      {adding > 0 ? <p aria-live="polite">{t("photos.adding", { count: adding })}</p> : null}
      {refusals.map((refusal) => (
        <Notice
          key={`${refusal.name}-${refusal.code}`}
          kind="warning"
          title={t(refusalKeys[refusal.code], { name: refusal.name })}
          testId="refusal"
        />
      ))}
      {refusals.length > 0 ? (
        <Button onClick={() => session.dismissRefusals()}>{t("action.understood")}</Button>
      ) : null}
    </div>
  );
}

const refusalKeys = {
  video: "refused.video",
  "not an image": "refused.notImage",
  empty: "refused.empty",
  "same photo twice": "refused.twice",
  "not readable": "refused.notReadable",
  "not stored": "refused.notStored",
} as const satisfies Record<RefusalCode, string>;
