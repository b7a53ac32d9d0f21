import { useEffect, useRef, useState } from "react";
import type { PhotoOutcome } from "../../../detect/findings/findings.ts";
import { useApp } from "../../context/app-context.ts";
import { emptyRound } from "../../library/acceptance.ts";
import { Button } from "../../parts/Button.tsx";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { inBackground } from "../../state/failures.ts";
import type { DraftRound } from "../../store/acceptance.ts";
import { listProfiles, type StoredProfile } from "../../store/profiles.ts";
import type { ChangeDraft, DraftProps } from "./draft-props.ts";

/** Photos of each round. What was found in them is kept; the photos themselves stay on the phone. */
export function Rounds({ draft, change }: DraftProps) {
  const { t } = useApp();
  const [profiles, setProfiles] = useState<readonly StoredProfile[]>([]);
  useEffect(() => inBackground(listProfiles().then(setProfiles)), []);
  return (
    <Panel title={t("accept.rounds")}>
      <p>{t("accept.roundsText")}</p>
      {draft.rounds.map((round, index) => (
        <Round key={round.id} round={round} index={index} profiles={profiles} change={change} />
      ))}
      <Button
        icon="plus"
        onClick={() => change((d) => ({ ...d, rounds: [...d.rounds, emptyRound()] }))}
      >
        {t("accept.addRound")}
      </Button>
    </Panel>
  );
}

interface RoundProps {
  readonly round: DraftRound;
  readonly index: number;
  readonly profiles: readonly StoredProfile[];
  readonly change: ChangeDraft;
}

function Round({ round, index, profiles, change }: RoundProps) {
  const { t } = useApp();
  const set = (part: (round: DraftRound) => DraftRound) =>
    change((d) => ({
      ...d,
      rounds: d.rounds.map((item) => (item.id === round.id ? part(item) : item)),
    }));
  const unusable = round.photos.filter(
    ({ outcome }) => !outcome.ok || outcome.findings.boards.length === 0,
  ).length;
  return (
    <fieldset className="length">
      <legend>{t("accept.round", { number: index + 1 })}</legend>
      <SelectField
        label={t("accept.lens")}
        hint={round.profileId === null ? t("accept.noLensHint") : undefined}
        value={round.profileId ?? ""}
        choices={[
          { value: "", label: t("accept.noLens") },
          ...profiles.map(({ id, profile }) => ({
            value: id,
            label: [profile.identity.make, profile.identity.model].filter(Boolean).join(" ") || id,
          })),
        ]}
        onChange={(id) => set((r) => ({ ...r, profileId: id === "" ? null : id, photos: [] }))}
      />
      <TextField
        label={t("accept.person")}
        value={round.person}
        onChange={(person) => set((r) => ({ ...r, person }))}
      />
      <RoundPhotos
        round={round}
        profile={profiles.find(({ id }) => id === round.profileId) ?? null}
        set={set}
      />
      {round.photos.length > 0 ? (
        <>
          <p data-testid="round-photos">
            {t("accept.photoCount", { count: round.photos.length, unusable })}
          </p>
          <Button icon="bin" onClick={() => set((r) => ({ ...r, photos: [] }))}>
            {t("accept.removePhotos")}
          </Button>
        </>
      ) : null}
    </fieldset>
  );
}

function RoundPhotos(props: {
  readonly round: DraftRound;
  readonly profile: StoredProfile | null;
  readonly set: (part: (round: DraftRound) => DraftRound) => void;
}) {
  const { round, profile, set } = props;
  const { t, engine } = useApp();
  const input = useRef<HTMLInputElement>(null);
  const [progress, setProgress] = useState<{ done: number; of: number } | null>(null);
  const add = async (files: readonly File[]) => {
    const known = new Set(round.photos.map(({ name }) => name));
    const fresh = files.filter(({ name }) => !known.has(`${round.id}/${name}`));
    setProgress({ done: 0, of: fresh.length });
    try {
      await engine.prepare(() => {});
      for (const [at, file] of fresh.entries()) {
        const name = `${round.id}/${file.name}`;
        const lens = profile?.profile.lens ?? null;
        const request = { name, blob: file, what: "boards", lens } as const;
        const outcome: PhotoOutcome = await engine.examine(request, new AbortController().signal);
        set((r) => ({ ...r, photos: [...r.photos, { name, outcome }] }));
        setProgress({ done: at + 1, of: fresh.length });
      }
    } finally {
      setProgress(null);
    }
  };
  return (
    <>
      <input
        ref={input}
        type="file"
        accept="image/*,.heic,.heif"
        multiple
        hidden
        data-testid={`round-files-${round.id}`}
        onChange={(event) => {
          const field = event.currentTarget;
          const files = Array.from(field.files ?? []);
          field.value = "";
          inBackground(add(files));
        }}
      />
      {progress ? (
        <Progress
          label={t("accept.examining", progress)}
          share={progress.of > 0 ? progress.done / progress.of : null}
        />
      ) : (
        <Button
          icon="camera"
          kind={round.photos.length === 0 ? "now" : "plain"}
          onClick={() => input.current?.click()}
        >
          {t("accept.addPhotos")}
        </Button>
      )}
    </>
  );
}
