import { useEffect, useState } from "react";
import { wayOfSd, touchSdMm as waysToTouch } from "../../../job/file/reading-ways.ts";
import type { TeachAnswer } from "../../../job/teach/teach-target.ts";
import { targetKinds } from "../../../placement/sheet/target-kinds.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { go, stageHref } from "../../context/routes.ts";
import { PointerPicture } from "../../drawing/PointerPicture.tsx";
import { keepTarget, withTarget } from "../../library/target-library.ts";
import {
  fewestTargetPhotos,
  pointerIds,
  standIds,
  teachInput,
  teachingLacks,
  teachingOf,
} from "../../library/teaching.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { HowSure } from "../../parts/fields/HowSure.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Notice, Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { Words } from "../../parts/Words.tsx";
import { inBackground } from "../../state/failures.ts";
import { activePhotos } from "../../state/job-state.ts";
import type { Teaching } from "../../store/database/schema.ts";
import { AddPhotos } from "../photos/AddPhotos.tsx";
import { PhotoGrid } from "../photos/PhotoGrid.tsx";
import { TaughtTarget } from "./TaughtTarget.tsx";

/** Teaches the tool where a target is against the boards on its stand. */
export default function TeachTarget() {
  const { t } = useApp();
  const { state } = useJob();
  const photos = activePhotos(state, "target");
  return (
    <>
      <div>
        <ButtonLink href={stageHref(state.record.id, "sheet")} icon="back">
          {t("teaching.back")}
        </ButtonLink>
      </div>
      <Panel title={t("teaching.title")}>
        <ol className="numbered">
          <li>
            <Words text={t("teaching.stepStand")} />
          </li>
          <li>
            <Words text={t("teaching.stepPointers")} />
          </li>
          <li>{t("teaching.stepPhotos", { count: fewestTargetPhotos })}</li>
          <li>
            <Words text={t("teaching.stepAfter")} />
          </li>
        </ol>
      </Panel>
      <Panel title={t("teaching.which")}>
        <TeachingForm />
      </Panel>
      <Panel title={t("teaching.photos")}>
        <AddPhotos
          place={{ purpose: "target", position: 1, epoch: "before", about: "" }}
          now={photos.length < fewestTargetPhotos}
          testId="add-target-photos"
        />
        <PhotoGrid photos={photos} />
      </Panel>
      <Panel title={t("teaching.result")}>
        <TeachingResult />
      </Panel>
    </>
  );
}

function TeachingForm() {
  const { t } = useApp();
  const { session, state } = useJob();
  const teaching = teachingOf(state.record);
  const set = (change: Partial<Teaching>) =>
    session.update((record) => ({ ...record, teaching: { ...teachingOf(record), ...change } }));
  const pointer = (which: keyof Teaching["pointers"], label: string) => (
    <SelectField
      label={label}
      value={String(teaching.pointers[which])}
      choices={pointerIds.map((id) => ({ value: String(id), label: String(id) }))}
      onChange={(id) => set({ pointers: { ...teaching.pointers, [which]: Number(id) } })}
    />
  );
  return (
    <div className="form">
      <TextField
        label={t("teaching.name")}
        hint={t("teaching.nameHint")}
        value={teaching.name}
        testId="teach-name"
        onChange={(name) => set({ name })}
      />
      <SelectField
        label={t("field.kind")}
        value={teaching.kind}
        choices={targetKinds.map((item) => ({ value: item, label: t(`word.${item}`) }))}
        onChange={(kind) => set({ kind })}
      />
      <div className="form-pair">
        <NumberField
          label={t("field.widthMm")}
          quantity="length"
          value={teaching.widthMm}
          problem={positive(teaching.widthMm) ? null : t("field.mustBePositive")}
          onChange={(widthMm) => set({ widthMm })}
        />
        <NumberField
          label={t("field.heightMm")}
          quantity="length"
          value={teaching.heightMm}
          problem={positive(teaching.heightMm) ? null : t("field.mustBePositive")}
          onChange={(heightMm) => set({ heightMm })}
        />
      </div>
      <StandBoards chosen={teaching.standBoards} onChange={(standBoards) => set({ standBoards })} />
      <PointerPicture {...teaching.pointers} stand={teaching.standBoards} />
      {pointer("reference", t("teaching.pointerReference"))}
      {pointer("right", t("teaching.pointerRight"))}
      {pointer("above", t("teaching.pointerAbove"))}
      <HowSure
        label={t("teaching.touch")}
        ways={["on a fine mark", "on a corner", "by eye alone"]}
        way={wayOfSd(waysToTouch, teaching.touchSdMm)}
        sdMm={teaching.touchSdMm}
        at="teaching.touch"
        onWay={(way) => set({ touchSdMm: waysToTouch[way] })}
        onSd={(touchSdMm) => set({ touchSdMm })}
      />
      <TextField
        label={t("targets.storedAt")}
        value={teaching.storedAt}
        onChange={(storedAt) => set({ storedAt })}
      />
    </div>
  );
}

const positive = (value: number | null): boolean => value === null || value > 0;

function StandBoards(props: {
  readonly chosen: readonly number[];
  readonly onChange: (boards: number[]) => void;
}) {
  const { t } = useApp();
  const { chosen, onChange } = props;
  return (
    <fieldset className="tuple">
      <legend>
        <Words text={t("teaching.standBoards")} />
      </legend>
      <div className="tick-row">
        {standIds.map((id) => (
          <label key={id} className="tick">
            <input
              type="checkbox"
              checked={chosen.includes(id)}
              onChange={(event) =>
                onChange(
                  standIds.filter((item) =>
                    item === id ? event.target.checked : chosen.includes(item),
                  ),
                )
              }
            />
            {id}
          </label>
        ))}
      </div>
    </fieldset>
  );
}

const lackKeys = {
  name: "teaching.lacksName",
  stand: "teaching.lacksStand",
  photos: "teaching.lacksPhotos",
  examining: "teaching.lacksExamining",
} as const;

function TeachingResult() {
  const { t, engine } = useApp();
  const { session, state } = useJob();
  const [answer, setAnswer] = useState<TeachAnswer | "working" | "stopped" | null>(null);
  const { teaching } = state.record;
  const photos = activePhotos(state, "target");
  const asked = JSON.stringify([teaching, photos.map(({ id }) => id), state.record.boards]);
  // An answer belongs to the entries and photos that it was asked with.
  // biome-ignore lint/correctness/useExhaustiveDependencies: `asked` stands for all of them
  useEffect(() => setAnswer(null), [asked]);
  const lacks = teachingLacks(state);
  const work = async () => {
    const input = teachInput(state, new Date().toISOString());
    if (!input) {
      setAnswer("stopped");
      return;
    }
    setAnswer("working");
    try {
      setAnswer(await engine.teach(input));
    } catch (error) {
      console.error(error);
      setAnswer("stopped");
    }
  };
  const keep = async (andUse: boolean) => {
    if (answer === null || typeof answer === "string" || !answer.ok) {
      return;
    }
    const [target] = answer.library.targets;
    await keepTarget({ ...target, invented: state.record.invented });
    if (andUse) {
      session.update((record) => withTarget(record, target));
    }
    go(stageHref(state.record.id, "sheet"));
  };
  if (lacks !== null) {
    return <p className="quiet">{t(lackKeys[lacks], { count: fewestTargetPhotos })}</p>;
  }
  if (answer === null) {
    return (
      <Button kind="now" onClick={() => inBackground(work())}>
        {t("teaching.work")}
      </Button>
    );
  }
  if (answer === "working") {
    return <Progress label={t("teaching.working")} share={null} />;
  }
  if (answer === "stopped" || !answer.ok) {
    return (
      <>
        {answer === "stopped" ? (
          <Notice kind="error" title={t("teaching.stopped")} />
        ) : (
          <Remarks remarks={answer.remarks} />
        )}
        <Button onClick={() => inBackground(work())}>{t("action.tryAgain")}</Button>
      </>
    );
  }
  return (
    <>
      <TaughtTarget target={answer.library.targets[0]} />
      <div className="button-row">
        <Button kind="now" icon="save" onClick={() => inBackground(keep(true))}>
          {t("teaching.keepAndUse")}
        </Button>
        <Button icon="save" onClick={() => inBackground(keep(false))}>
          {t("teaching.keep")}
        </Button>
      </div>
      <Remarks remarks={answer.remarks.filter(({ severity }) => severity !== "info")} />
    </>
  );
}
