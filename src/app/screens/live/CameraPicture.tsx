import type { ReactNode } from "react";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { SelectField } from "../../parts/fields/Fields.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { inBackground } from "../../state/failures.ts";
import { setTorch } from "../../stream/camera.ts";
import type { CameraState } from "../../stream/use-camera.ts";

/** A board drawn over the stream: corners in px of the frame. */
export interface DrawnBoard {
  readonly id: number;
  readonly corners: ArrayLike<number>;
}

interface CameraPictureProps {
  readonly state: CameraState;
  readonly boards: readonly DrawnBoard[];
  readonly torch: boolean;
  readonly onTorch: (on: boolean) => void;
  readonly children?: ReactNode;
}

/** The stream with the boards that were found in it, and what went wrong with the camera. */
export function CameraPicture({ state, boards, torch, onTorch, children }: CameraPictureProps) {
  const { t } = useApp();
  const { camera, problem, size, video } = state;
  const unit = size ? Math.max(size.width, size.height) / 40 : 1;
  const lenses = camera?.abilities.lenses ?? [];
  return (
    <div>
      {problem ? (
        <Notice kind="warning" title={t(`camera.problem.${problem}`)} testId="camera-problem">
          <Button onClick={state.retry}>{t("camera.again")}</Button>
        </Notice>
      ) : null}
      {!camera && !problem ? <p>{t("live.starting")}</p> : null}
      <div className="live-picture" hidden={!camera} data-testid="live-picture">
        <video ref={video} autoPlay playsInline muted />
        {size ? (
          <svg viewBox={`0 0 ${size.width} ${size.height}`} aria-hidden="true">
            {boards.map(({ id, corners: c }) => (
              <g key={id} data-testid="live-board" data-board={id}>
                <path
                  className="live-board"
                  d={`M${c[0]} ${c[1]}L${c[2]} ${c[3]}L${c[4]} ${c[5]}L${c[6]} ${c[7]}Z`}
                />
                <text
                  className="live-number"
                  x={c[0]}
                  y={c[1] - unit / 3}
                  fontSize={unit}
                  strokeWidth={unit / 5}
                >
                  {id}
                </text>
              </g>
            ))}
          </svg>
        ) : null}
      </div>
      {children}
      <div className="button-row">
        {camera?.abilities.torch ? (
          <Button
            aria-pressed={torch}
            onClick={() => {
              onTorch(!torch);
              inBackground(setTorch(camera.track, !torch));
            }}
          >
            {t("live.torch")}
          </Button>
        ) : null}
      </div>
      {lenses.length > 1 && camera ? (
        <SelectField
          label={t("live.lens")}
          hint={t("live.lensNote")}
          value={camera.deviceId}
          choices={lenses.map(({ id, label }) => ({ value: id, label }))}
          onChange={state.choose}
        />
      ) : null}
    </div>
  );
}
