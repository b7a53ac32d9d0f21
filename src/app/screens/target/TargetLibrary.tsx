import { useCallback, useEffect, useState } from "react";
import { targetKinds } from "../../../placement/sheet/target-kinds.ts";
import type { LibraryTarget } from "../../../placement/target/target-library.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { saveFile } from "../../library/save-file.ts";
import {
  forgetTarget,
  importLibrary,
  type JobTarget,
  type KeptTarget,
  keepTarget,
  libraryFile,
  listTargets,
  targetsOf,
  toLibrary,
  withTarget,
} from "../../library/target-library.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { jsonFiles, OpenFile } from "../../parts/OpenFile.tsx";
import { inBackground } from "../../state/failures.ts";
import { TaughtTarget } from "./TaughtTarget.tsx";

/** The shop's targets: taught once, used in every job. */
export function TargetLibrary() {
  const { t, showUncertainty, locale } = useApp();
  const { session, state } = useJob();
  const [kept, setKept] = useState<readonly KeptTarget[]>([]);
  const [problem, setProblem] = useState<string | null>(null);
  const reload = useCallback(() => inBackground(listTargets().then(setKept)), []);
  useEffect(reload, [reload]);
  const use = (target: LibraryTarget) => session.update((record) => withTarget(record, target));
  const open = async (file: File) => {
    const count = await importLibrary(file);
    setProblem(count === null ? t("targets.unreadable", { name: file.name }) : null);
    reload();
  };
  return (
    <>
      <p>{t("targets.explain")}</p>
      {kept.length === 0 ? <p className="quiet">{t("targets.none")}</p> : null}
      <ul className="pick-list">
        {kept.map(({ id, target }) => (
          <li key={id}>
            <button type="button" className="pick" onClick={() => use(target)}>
              {t("targets.use", { name: target.name })}
              <span className="block quiet small">
                {[
                  target.storedAt,
                  t("targets.exact", {
                    mm: showUncertainty(
                      Math.max(...target.boards.map((b) => b.shiftSdMm)),
                      "length",
                      1,
                    ),
                  }),
                  day(target.taught.on, locale),
                ]
                  .filter(Boolean)
                  .join(" · ")}
              </span>
            </button>
            <Button
              kind="bare"
              icon="bin"
              aria-label={`${t("targets.forget")}: ${target.name}`}
              onClick={() => inBackground(forgetTarget(id).then(reload))}
            />
            {target.taught.proof ? (
              <details className="fold">
                <summary>
                  <span>{t("teaching.result")}</span>
                </summary>
                <div className="fold-body">
                  <TaughtTarget target={target} />
                </div>
              </details>
            ) : null}
          </li>
        ))}
      </ul>
      {targetsOf(state.record).map((target) => (
        <KeepTarget key={target.name} target={target} onKept={reload} />
      ))}
      <div className="button-row">
        <ButtonLink href={stageHref(state.record.id, "sheet", "teach")} icon="camera">
          {t("teaching.open")}
        </ButtonLink>
        <OpenFile accept={jsonFiles} label={t("targets.open")} onFile={open} />
        <Button
          icon="save"
          disabled={kept.length === 0}
          onClick={() => saveFile("targets.json", libraryFile(kept))}
        >
          {t("targets.save")}
        </Button>
      </div>
      {problem ? <p role="alert">{problem}</p> : null}
    </>
  );
}

/** A date as people write it; what is no date stays as it is. */
const day = (iso: string, locale: string): string => {
  const date = new Date(iso.slice(0, 10));
  return Number.isNaN(date.getTime())
    ? iso
    : new Intl.DateTimeFormat(locale, { dateStyle: "medium", timeZone: "UTC" }).format(date);
};

function KeepTarget(props: { readonly target: JobTarget; readonly onKept: () => void }) {
  const { target, onKept } = props;
  const { t } = useApp();
  const { state } = useJob();
  const [kind, setKind] = useState<LibraryTarget["kind"]>("board");
  const [storedAt, setStoredAt] = useState("");
  const keep = () => {
    const how = { kind, storedAt: storedAt || undefined, invented: state.record.invented };
    inBackground(keepTarget(toLibrary(target, how, new Date().toISOString())).then(onKept));
  };
  return (
    <details className="fold">
      <summary>
        <span>{t("targets.keep", { name: target.name })}</span>
      </summary>
      <div className="fold-body form">
        <SelectField
          label={t("field.kind")}
          value={kind}
          choices={targetKinds.map((item) => ({ value: item, label: t(`word.${item}`) }))}
          onChange={setKind}
        />
        <TextField label={t("targets.storedAt")} value={storedAt} onChange={setStoredAt} />
        <div>
          <Button onClick={keep}>{t("targets.keepNow")}</Button>
        </div>
      </div>
    </details>
  );
}
