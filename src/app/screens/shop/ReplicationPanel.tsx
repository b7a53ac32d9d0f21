import { useStore } from "zustand";
import type { Fault } from "../../../replicate/faults/faults.ts";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { ChoiceField } from "../../parts/fields/Fields.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { Progress } from "../../parts/Progress.tsx";
import { replicateNow, replication } from "../../replica/replication.ts";
import type { ShopSettings } from "../../replica/shop-database.ts";

const words = {
  reading: "store.reading",
  storing: "store.storing",
  fetching: "store.fetching",
} as const;

/** What is going on, what waits, and what the store was not believed. */
export function ReplicationPanel(props: {
  readonly shop: ShopSettings;
  readonly onChange: (change: Partial<ShopSettings>) => void;
}) {
  const { t, settings, changeSettings, when, locale } = useApp();
  const { shop, onChange } = props;
  const { progress, last, ended } = useStore(replication);
  const run = (photos: boolean) =>
    void replicateNow(
      settings,
      (sets) => changeSettings({ plateSets: [...sets.plateSets], printSets: [...sets.printSets] }),
      photos,
    );
  const held = last?.done.held;
  const address = shop.store.kind === "folder" ? shop.store.path : shop.store.url;
  return (
    <Panel title={t("store.panel")} testId="replication">
      <p className="small">{t("store.at", { address })}</p>
      <div className="button-row">
        <Button kind="now" onClick={() => run(false)} disabled={progress !== null}>
          {t("store.now")}
        </Button>
      </div>
      <div className="by-turns">
        {progress ? (
          <Progress
            label={t(words[progress.doing], { done: progress.done, of: progress.of })}
            share={progress.of > 0 ? progress.done / progress.of : null}
            testId="replicating"
          />
        ) : null}
        <div
          className={progress ? "unseen" : ""}
          data-testid="replicated"
          data-at={last?.at ?? ""}
          role="status"
        >
          {last ? (
            <p>
              {t("store.last", {
                when: when(last.at),
                stored: last.done.stored,
                fetched: last.done.fetched,
              })}
            </p>
          ) : (
            <p className="quiet">{t("store.never")}</p>
          )}
        </div>
      </div>
      <p className="small quiet">{t("store.itself")}</p>
      {ended ? <Notice kind="error" title={faultWords(t, ended)} testId="ended" /> : null}
      {(last?.done.faults ?? []).map((fault) => (
        <Notice
          key={JSON.stringify(fault)}
          kind="warning"
          title={faultWords(t, fault)}
          testId="store-fault"
        />
      ))}
      {held && held.count > 0 ? (
        <>
          <p>
            {t("store.held", {
              count: held.count,
              megabytes: new Intl.NumberFormat(locale, { maximumFractionDigits: 1 }).format(
                held.bytes / 1e6,
              ),
            })}
          </p>
          <Button onClick={() => run(true)}>{t("store.sendHeld")}</Button>
        </>
      ) : null}
      <div className="form">
        <ChoiceField
          label={t("store.photos")}
          hint={t("store.photosHint")}
          value={shop.photos}
          choices={[
            { value: "not on mobile data", label: t("store.photosNot") },
            { value: "always", label: t("store.photosAlways") },
          ]}
          onChange={(photos) => onChange({ photos })}
        />
        <ChoiceField
          label={t("store.records")}
          value={shop.records ? "yes" : "no"}
          choices={[
            { value: "yes", label: t("store.recordsYes") },
            { value: "no", label: t("store.recordsNo") },
          ]}
          onChange={(records) => onChange({ records: records === "yes" })}
        />
      </div>
    </Panel>
  );
}

export const faultWords = (t: ReturnType<typeof useApp>["t"], { code, values }: Fault): string =>
  t(`fault.${code}`, values);
