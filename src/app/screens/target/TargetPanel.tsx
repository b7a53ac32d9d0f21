import { useCallback, useEffect, useMemo, useState } from "react";
import { draftOf, withStepDraft } from "../../../placement/sheet/draft.ts";
import type { LibraryTarget } from "../../../placement/target/target-library.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { PointerPicture } from "../../drawing/PointerPicture.tsx";
import { TypedTargetForm } from "../../forms/target/TypedTargetForm.tsx";
import { type KeptTarget, listTargets, withTarget } from "../../library/target-library.ts";
import {
  isTargetComplete,
  type TypedTarget,
  typedBoard,
  typedTargets,
  withTypedTarget,
} from "../../library/typed-target.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { TakenOver } from "../../parts/TakenOver.tsx";
import { Words } from "../../parts/Words.tsx";
import { inBackground } from "../../state/failures.ts";
import type { JobRecord } from "../../store/database/schema.ts";
import { TargetLibrary } from "./TargetLibrary.tsx";

/** Where the target is against the boards on its stand: by photos, from the shop's library, or by rule. */
export function TargetPanel() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { record } = state;
  const wanted = useMemo(() => wantedTargets(record.placement.sheet), [record.placement.sheet]);
  const known = typedTargets(record);
  const missing = wanted.filter(({ name }) => !known.some((target) => target.name === name));
  const use = (target: LibraryTarget) =>
    session.update((job) => withSheetTarget(withTarget(job, target), missing[0]?.name, target));
  return (
    <>
      {missing.map((target) => (
        <Panel
          key={target.name}
          title={t("target.where", { name: target.name })}
          testId="target-missing"
        >
          <Ways name={target.name} size={target} onUse={use} />
        </Panel>
      ))}
      {known.map((target) => (
        <Panel key={target.name} title={t("target.where", { name: target.name })}>
          <TakenOver part="target" />
          {isTargetComplete(target) ? null : <Notice kind="info" title={t("target.incomplete")} />}
          <TypedTargetForm target={target} />
        </Panel>
      ))}
      <details className="fold fold-panel" open={wanted.length === 0 && known.length === 0}>
        <summary>
          <span>{t("targets.title")}</span>
        </summary>
        <div className="fold-body">
          <TargetLibrary />
        </div>
      </details>
    </>
  );
}

interface Wanted {
  readonly name: string;
  readonly widthMm?: number;
  readonly heightMm?: number;
}

/** The targets that the sheet asks for, each once. */
function wantedTargets(sheet: unknown): Wanted[] {
  const targets = draftOf(sheet)?.steps.map(({ target }) => target) ?? [];
  return targets
    .filter(
      ({ name }, at) => name.trim() !== "" && targets.findIndex((o) => o.name === name) === at,
    )
    .map(({ name, widthMm, heightMm }) => ({
      name,
      ...(typeof widthMm === "number" ? { widthMm } : {}),
      ...(typeof heightMm === "number" ? { heightMm } : {}),
    }));
}

/** A target of another name takes the place of the one that the sheet asked for. */
function withSheetTarget(
  record: JobRecord,
  replaced: string | undefined,
  { name, kind, widthMm, heightMm }: LibraryTarget,
): JobRecord {
  const draft = draftOf(record.placement.sheet);
  if (!draft || replaced === undefined) {
    return record;
  }
  const sheet = draft.steps.reduce(
    (present, step, at) =>
      step.target.name === replaced
        ? withStepDraft(present, at, {
            ...step,
            target: {
              ...step.target,
              name,
              kind,
              ...(widthMm === undefined ? {} : { widthMm }),
              ...(heightMm === undefined ? {} : { heightMm }),
            },
          })
        : present,
    draft,
  );
  return { ...record, placement: { ...record.placement, sheet } };
}

/** The two boards that most stands carry: common practice, no source. */
const usualBoards = [31, 32] as const;

function Ways(props: {
  readonly name: string;
  readonly size: Wanted;
  readonly onUse: (target: LibraryTarget) => void;
}) {
  const { name, size, onUse } = props;
  const { t } = useApp();
  const { session, state } = useJob();
  const [kept, setKept] = useState<readonly KeptTarget[]>([]);
  const reload = useCallback(() => inBackground(listTargets().then(setKept)), []);
  useEffect(reload, [reload]);
  const byHand = () => {
    const target: TypedTarget = { ...size, name, boards: usualBoards.map(typedBoard) };
    session.update((record) => withTypedTarget(record, name, target));
  };
  return (
    <>
      <p>
        <Words text={t("target.why")} />
      </p>
      {kept.length > 0 ? (
        <>
          <h3>{t("target.fromShop")}</h3>
          <div className="chip-row">
            {kept.map(({ id, target }) => (
              <button
                key={id}
                type="button"
                className="chip"
                data-testid="use-target"
                onClick={() => onUse(target)}
              >
                {target.name}
              </button>
            ))}
          </div>
        </>
      ) : null}
      <div className="ways">
        <div className="way">
          <PointerPicture />
          <p>
            <Words text={t("target.byPhotos")} />
          </p>
          <ButtonLink href={stageHref(state.record.id, "sheet", "teach")} icon="camera">
            {t("teaching.open")}
          </ButtonLink>
        </div>
        <div className="way">
          <p>{t("target.byRuleExplain")}</p>
          <Button icon="plus" onClick={byHand} data-testid="type-target">
            {t("target.byRule")}
          </Button>
        </div>
      </div>
    </>
  );
}
