import { useEffect, useState } from "react";
import type { Sha256 } from "../../../record/sha256.ts";
import { invitationText } from "../../../replicate/formats/address.ts";
import { useApp } from "../../context/app-context.ts";
import { saveFile } from "../../library/save-file.ts";
import { Button } from "../../parts/Button.tsx";
import { Confirm } from "../../parts/Dialog.tsx";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { invitationOf } from "../../replica/connect.ts";
import { deletedHere, deviceName, removeForAll, replicateNow } from "../../replica/replication.ts";
import { shareJob } from "../../replica/shared-jobs.ts";
import type { ShopSettings } from "../../replica/shop-database.ts";
import { listJobs } from "../../session/job-list.ts";
import { inBackground } from "../../state/failures.ts";
import { type ListedJob, listedTitle } from "../../store/listings.ts";
import { QrCode } from "./QrCode.tsx";

interface ShopProps {
  readonly shop: ShopSettings;
}

/** Shows the code of an invitation, and hides it again. */
function Code({ text }: { readonly text: string }) {
  const { t } = useApp();
  return (
    <>
      <QrCode text={text} label={t("store.qr")} />
      <textarea
        readOnly
        rows={4}
        value={text}
        aria-label={t("store.code")}
        data-testid="shown-code"
      />
    </>
  );
}

export function AddDevice({ shop }: ShopProps) {
  const { t } = useApp();
  const [shown, setShown] = useState(false);
  const save = () => {
    const file = { format: "plumbshot-shop-key", version: 1, key: shop.key };
    saveFile("plumbshot-shop-key.json", `${JSON.stringify(file)}\n`);
  };
  return (
    <Panel title={t("store.add")}>
      <p>{t("store.addText")}</p>
      {shown ? <Code text={invitationText(invitationOf(shop))} /> : null}
      <div className="button-row">
        <Button onClick={() => setShown(!shown)}>
          {t(shown ? "store.hideCode" : "store.showCode")}
        </Button>
        <Button icon="save" onClick={save}>
          {t("store.saveKey")}
        </Button>
      </div>
      <p className="small">{t("store.keepKey")}</p>
    </Panel>
  );
}

/** Jobs that several phones work on. */
export function SharedJobs(
  props: ShopProps & { readonly onShare: (job: string) => Promise<void> },
) {
  const { t, engine, settings, changeSettings } = useApp();
  const [jobs, setJobs] = useState<readonly ListedJob[]>([]);
  const [shown, setShown] = useState<string | null>(null);
  useEffect(() => {
    inBackground(listJobs(engine.version).then((list) => setJobs(list.jobs.slice(0, 8))));
  }, [engine]);
  const titleOf = (job: ListedJob) => listedTitle(job, t("jobs.untitled"));
  const share = async (job: ListedJob) => {
    if (!props.shop.sharedJobs.includes(job.id)) {
      await shareJob(job.id, await deviceName(), new Date().toISOString());
      await props.onShare(job.id);
    }
    setShown(job.id);
    await replicateNow(settings, (sets) =>
      changeSettings({ plateSets: [...sets.plateSets], printSets: [...sets.printSets] }),
    );
  };
  return (
    <Panel title={t("store.jobs")} testId="shared-jobs">
      <p>{t("store.jobsText")}</p>
      {jobs.length === 0 ? <p className="quiet">{t("store.noJobs")}</p> : null}
      {shown ? <Code text={invitationText(invitationOf(props.shop, shown))} /> : null}
      <ul className="plain-list">
        {jobs.map((job) => (
          <li key={job.id}>
            {props.shop.sharedJobs.includes(job.id) ? (
              <p className="small">{t("store.shared", { title: titleOf(job) })}</p>
            ) : null}
            <Button icon="share" onClick={() => inBackground(share(job))}>
              {t("store.share", { title: titleOf(job) })}
            </Button>
          </li>
        ))}
      </ul>
    </Panel>
  );
}

/** Records that were deleted here while the store still has them. */
export function DeletedHere() {
  const { t, settings, changeSettings } = useApp();
  const [gone, setGone] = useState<readonly Sha256[]>([]);
  const [asked, setAsked] = useState(false);
  useEffect(() => {
    inBackground(deletedHere().then(setGone));
  }, []);
  if (gone.length === 0) return null;
  const remove = async () => {
    await removeForAll(gone, settings, (sets) =>
      changeSettings({ plateSets: [...sets.plateSets], printSets: [...sets.printSets] }),
    );
    setGone(await deletedHere());
  };
  return (
    <Panel title={t("store.remove")} testId="deleted-here">
      <p>{t("store.removeText", { count: gone.length })}</p>
      <Button icon="bin" onClick={() => setAsked(true)}>
        {t("store.removeNow")}
      </Button>
      {asked ? (
        <Confirm
          title={t("store.removeNow")}
          action={t("store.removeNow")}
          onConfirm={() => inBackground(remove())}
          onClose={() => setAsked(false)}
        >
          <p>{t("store.removeText", { count: gone.length })}</p>
        </Confirm>
      ) : null}
    </Panel>
  );
}

export function LostDevice(props: { readonly onChangeKey: () => Promise<void> }) {
  const { t } = useApp();
  const [asked, setAsked] = useState(false);
  const [changed, setChanged] = useState(false);
  const change = async () => {
    await props.onChangeKey();
    setChanged(true);
  };
  return (
    <Panel title={t("store.lost")}>
      <p>{t("store.lostText")}</p>
      {changed ? <Notice kind="info" title={t("store.changed")} /> : null}
      <Button onClick={() => setAsked(true)}>{t("store.change")}</Button>
      {asked ? (
        <Confirm
          title={t("store.changeAsk")}
          action={t("store.change")}
          onConfirm={() => inBackground(change())}
          onClose={() => setAsked(false)}
        >
          <p>{t("store.lostText")}</p>
        </Confirm>
      ) : null}
    </Panel>
  );
}

export function Leave(props: { readonly onLeave: () => Promise<void> }) {
  const { t } = useApp();
  const [asked, setAsked] = useState(false);
  return (
    <>
      <Button icon="cross" onClick={() => setAsked(true)}>
        {t("store.leave")}
      </Button>
      {asked ? (
        <Confirm
          title={t("store.leaveAsk")}
          action={t("store.leave")}
          onConfirm={() => inBackground(props.onLeave())}
          onClose={() => setAsked(false)}
        >
          <p>{t("store.leaveText")}</p>
        </Confirm>
      ) : null}
    </>
  );
}
