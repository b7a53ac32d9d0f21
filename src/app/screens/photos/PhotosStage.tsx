import { useState } from "react";
import { useApp, useJobState, useSession } from "../../context/app-context.ts";
import { type StageProps, stageHref } from "../../context/routes.ts";
import { ButtonLink } from "../../parts/Button.tsx";
import { ChoiceField, SelectField } from "../../parts/fields/Fields.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { useAwake } from "../../parts/touch/use-awake.ts";
import { useSignals } from "../../parts/touch/use-signals.ts";
import { Words } from "../../parts/Words.tsx";
import { activePhotos, type JobState, standPhotosMissing } from "../../state/job-state.ts";
import type { PhotoRecord } from "../../store/database/schema.ts";
import { LevelView } from "../live/LevelView.tsx";
import { LiveView } from "../live/LiveView.tsx";
import { WatchView } from "../live/WatchView.tsx";
import { AddPhotos } from "./AddPhotos.tsx";
import { PhotoGrid } from "./PhotoGrid.tsx";
import { PhotoPlanPanel } from "./PhotoPlanPanel.tsx";
import { PhotoScreen } from "./PhotoScreen.tsx";
import { StandMoved } from "./Setups.tsx";

export default function PhotosStage({ detail }: StageProps) {
  const opened = useJobState((state) => state.photos.find((photo) => photo.id === detail));
  const first = detail === "after" ? "after" : "before";
  if (detail === "live") {
    const place = { purpose: "boards", position: 1, epoch: "before", about: "" } as const;
    return <LiveView add={<AddPhotos place={place} now testId="live-add-photos" />} />;
  }
  if (detail === "level") {
    return <LevelView />;
  }
  if (detail === "watch") {
    return <WatchView />;
  }
  return opened ? <PhotoScreen photo={opened} /> : <AllPhotos key={first} first={first} />;
}

/** Photos before the run, or after it where the address says so: `photos/after`. */
function AllPhotos({ first }: { readonly first: PhotoRecord["epoch"] }) {
  const { t, settings } = useApp();
  useAwake();
  useSignals(useJobState(boardsFound), settings.tones);
  const session = useSession();
  const id = useJobState((state) => state.record.id);
  const photos = useJobState((state) => activePhotos(state, "boards"));
  const moved = useJobState(standPhotosMissing);
  const { positions, setups, positionKind } = useJobState((state) => state.record.photos);
  const [epoch, setEpoch] = useState<PhotoRecord["epoch"]>(first);
  const [position, setPosition] = useState(positions);
  const groups = groupsOf(photos);
  const shownAfter = photos.some((photo) => photo.epoch === "after");
  return (
    <>
      {moved ? <StandMoved here /> : null}
      <Panel title={t(epoch === "after" ? "photos.addAfter" : "photos.add")}>
        {moved ? null : (
          <p>
            <Words text={t(epoch === "after" ? "photos.howToAfter" : "photos.howTo")} />
          </p>
        )}
        <AddPhotos
          place={{ purpose: "boards", position, epoch, about: "" }}
          now={photos.length === 0 || moved || (epoch === "after" && !shownAfter)}
          testId="add-board-photos"
        />
        <div className="button-row">
          <ButtonLink href={stageHref(id, "photos", "live")} icon="camera" testId="open-live">
            {t("live.open")}
          </ButtonLink>
        </div>
        <details className="fold" open={first === "after"}>
          <summary>
            <span>{t("photos.where")}</span>
          </summary>
          <div className="fold-body form">
            <ChoiceField
              label={t("photos.epoch")}
              value={epoch}
              choices={[
                { value: "before", label: t("photos.before") },
                { value: "after", label: t("photos.after") },
              ]}
              onChange={setEpoch}
              hint={t("photos.epochHint")}
            />
            <SelectField
              label={t("photos.position")}
              value={String(position)}
              choices={Array.from({ length: positions + 1 }, (_, index) => ({
                value: String(index + 1),
                label: t("photos.positionNumber", { number: index + 1 }),
              }))}
              onChange={(value) => {
                const chosen = Number(value);
                setPosition(chosen);
                if (chosen > positions) {
                  session.update((record) => ({
                    ...record,
                    photos: { ...record.photos, positions: chosen },
                  }));
                }
              }}
              hint={t("photos.positionHint")}
            />
            {positions > 1 ? (
              <ChoiceField
                label={t("photos.positionKind")}
                value={positionKind}
                choices={[
                  { value: "rolled", label: t("photos.rolled") },
                  { value: "turned", label: t("photos.turned") },
                  { value: "refitted", label: t("photos.refitted") },
                ]}
                onChange={(positionKind) =>
                  session.update((record) => ({
                    ...record,
                    photos: { ...record.photos, positionKind },
                  }))
                }
              />
            ) : null}
          </div>
        </details>
      </Panel>
      {epoch === "before" ? <PhotoPlanPanel /> : null}
      {groups.map((group) => (
        <Panel
          key={group.key}
          title={t(group.epoch === "before" ? "photos.groupBefore" : "photos.groupAfter", {
            number: group.position,
          })}
          aside={<span className="quiet number">{group.photos.length}</span>}
        >
          {setups > 1 && !moved ? (
            <p className="small quiet">
              {t("photos.setupNote", {
                count: group.photos.filter((photo) => photo.setup === setups).length,
              })}
            </p>
          ) : null}
          <PhotoGrid photos={group.photos} />
        </Panel>
      ))}
    </>
  );
}

let lastFound: { readonly from: unknown; readonly found: ReadonlyMap<string, boolean> } = {
  from: null,
  found: new Map(),
};

/** Which examined photos show a board; made anew only when an outcome came. */
function boardsFound({ outcomes }: Pick<JobState, "outcomes">): ReadonlyMap<string, boolean> {
  if (lastFound.from !== outcomes) {
    const found = [...outcomes].map(([id, { outcome }]): [string, boolean] => [
      id,
      outcome.ok && outcome.findings.boards.length > 0,
    ]);
    lastFound = { from: outcomes, found: new Map(found) };
  }
  return lastFound.found;
}

interface PhotoGroup {
  readonly key: string;
  readonly epoch: PhotoRecord["epoch"];
  readonly position: number;
  readonly photos: PhotoRecord[];
}

/** Photos by before / after, then by car position. */
function groupsOf(photos: readonly PhotoRecord[]): PhotoGroup[] {
  const groups = new Map<string, PhotoGroup>();
  for (const photo of photos) {
    const key = `${photo.epoch === "before" ? 0 : 1}-${photo.position}`;
    const group = groups.get(key) ?? {
      key,
      epoch: photo.epoch,
      position: photo.position,
      photos: [],
    };
    group.photos.push(photo);
    groups.set(key, group);
  }
  return [...groups.values()].sort((a, b) => a.key.localeCompare(b.key));
}
