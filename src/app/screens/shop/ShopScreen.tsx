import { useEffect, useState } from "react";
import { type Fault, StoreFault } from "../../../replicate/faults/faults.ts";
import type { Invitation, StoreAddress } from "../../../replicate/formats/address.ts";
import { useApp } from "../../context/app-context.ts";
import { go, jobHref } from "../../context/routes.ts";
import { Notice } from "../../parts/Notice.tsx";
import { connect, forbiddenOrigin, type KeyEntry, renewKey } from "../../replica/connect.ts";
import { replicateNow, replication } from "../../replica/replication.ts";
import {
  forgetShop,
  loadShopSettings,
  type ShopSettings,
  saveShopSettings,
} from "../../replica/shop-database.ts";
import { inBackground } from "../../state/failures.ts";
import { loadJob } from "../../store/jobs.ts";
import { Frame } from "../frame/Frame.tsx";
import { AddDevice, DeletedHere, Leave, LostDevice, SharedJobs } from "./DevicesPanels.tsx";
import { JobNotYet } from "./JobNotYet.tsx";
import { JoinForm } from "./JoinForm.tsx";
import { RepairPanel } from "./RepairPanel.tsx";
import { faultWords, ReplicationPanel } from "./ReplicationPanel.tsx";
import { SetUpForm } from "./SetUpForm.tsx";

/** The store that a shop's phones share: connecting, replicating, adding and losing devices. */
export default function ShopScreen() {
  const { t, settings, changeSettings } = useApp();
  const [shop, setShop] = useState<ShopSettings | null | undefined>(undefined);
  const [busy, setBusy] = useState(false);
  const [problem, setProblem] = useState<string | null>(null);
  /** A shared job that was joined and that the store does not have yet. */
  const [awaited, setAwaited] = useState<string | null>(null);
  useEffect(() => {
    inBackground(loadShopSettings().then(setShop));
  }, []);

  const keep = async (next: ShopSettings) => {
    await saveShopSettings(next);
    setShop(next);
  };
  const replicateQuietly = () =>
    replicateNow(settings, (sets) =>
      changeSettings({ plateSets: [...sets.plateSets], printSets: [...sets.printSets] }),
    );
  const begin = async (store: StoreAddress, entry: KeyEntry, sharedJobs: string[] = []) => {
    const origin = forbiddenOrigin(store);
    if (origin) return setProblem(t("store.forbidden", { origin }));
    setBusy(true);
    setProblem(null);
    try {
      const key = await connect(store, entry);
      const photos = "not on mobile data";
      await keep({ version: 1, store, key, photos, records: true, sharedJobs });
      await replicateQuietly();
      const [job] = sharedJobs;
      if (job && (await loadJob(job))) go(jobHref(job));
      else if (job) setAwaited(job);
    } catch (error) {
      if (!(error instanceof StoreFault)) throw error;
      setProblem(faultWords(t, error));
    } finally {
      setBusy(false);
    }
  };
  const join = ({ store, key, job }: Invitation) =>
    begin(store, { kind: "text", text: key }, job ? [job] : []);
  const changeKey = async (present: ShopSettings) => {
    try {
      await keep({ ...present, key: await renewKey(present) });
    } catch (error) {
      if (!(error instanceof StoreFault)) throw error;
      replication.setState({ ended: error as Fault });
      throw error;
    }
  };

  return (
    <Frame title={t("store.title")} back={{ href: "#/", label: t("jobs.title") }}>
      <div className="settings">
        <h1>{t("store.title")}</h1>
        {awaited ? (
          <JobNotYet job={awaited} look={replicateQuietly} onStop={() => setAwaited(null)} />
        ) : null}
        {shop ? (
          <>
            <ReplicationPanel
              shop={shop}
              onChange={(change) => inBackground(keep({ ...shop, ...change }))}
            />
            <SharedJobs
              shop={shop}
              onShare={(job) => keep({ ...shop, sharedJobs: [...shop.sharedJobs, job] })}
            />
            <JoinForm
              onJoin={async ({ store, key, job }) => {
                const jobs = job ? [...new Set([...shop.sharedJobs, job])] : shop.sharedJobs;
                await begin(store, { kind: "text", text: key }, [...jobs].reverse());
              }}
            />
            <AddDevice shop={shop} />
            <RepairPanel />
            <DeletedHere />
            <LostDevice onChangeKey={() => changeKey(shop)} />
            {problem ? <Notice kind="error" title={problem} /> : null}
            <Leave
              onLeave={async () => {
                await forgetShop();
                setShop(null);
              }}
            />
          </>
        ) : null}
        {shop === null ? (
          <>
            <p>{t("store.lead")}</p>
            <p className="quiet">{t("store.none")}</p>
            {problem ? <Notice kind="error" title={problem} testId="shop-problem" /> : null}
            <JoinForm onJoin={join} />
            <SetUpForm busy={busy} onConnect={(...given) => inBackground(begin(...given))} />
          </>
        ) : null}
      </div>
    </Frame>
  );
}
