import { useApp, useJob } from "../../context/app-context.ts";
import { Notice } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { inBackground } from "../../state/failures.ts";
import { activePhotos } from "../../state/job-state.ts";
import type { OfferedProfile } from "../../store/profiles.ts";
import { KeptLens, phoneName } from "./KeptLens.tsx";

/** Lenses of the other phones that took photos of this job; nothing to see where one phone is enough. */
export function OtherPhones({ profiles }: { readonly profiles: readonly OfferedProfile[] }) {
  const { t, when } = useApp();
  const { session, state } = useJob();
  const { source, profileId, others = [] } = state.record.camera;
  const theirs = state.otherLenses.filter(({ phone }) => phone !== null);
  const photosOf = (phone: string | null): number =>
    activePhotos(state, "boards").filter(({ device }) => device === phone).length;
  const lacking = phonesWithout(state);
  const arrived = new Set(theirs.map(({ profile }) => JSON.stringify(profile.lens)));
  // What was kept from this job's own sheet photos is this phone's.
  const kept = profiles
    .filter(({ id }) => id !== state.record.id)
    .filter(({ id }) => source !== "saved profile" || id !== profileId)
    .filter(({ profile }) => !arrived.has(JSON.stringify(profile.lens)));
  if (theirs.length === 0 && lacking.length === 0 && kept.length === 0) {
    return null;
  }
  const choose = (id: string, chosen: boolean) =>
    inBackground(
      session.chooseOtherLenses(chosen ? [...others, id] : others.filter((one) => one !== id)),
    );
  return (
    <Panel title={t("camera.others")} testId="other-phones">
      <p>{t("camera.othersText")}</p>
      {theirs.map(({ phone, profile }) => (
        <p key={phone} data-testid="other-lens">
          <strong>{phoneName(profile, t)}</strong>
          <br />
          <span className="quiet small">
            {t("camera.otherLens", {
              count: photosOf(phone),
              size: `${profile.identity.width} × ${profile.identity.height}`,
              when: when(profile.calibratedAt),
            })}
          </span>
        </p>
      ))}
      {lacking.map((phone) => (
        <Notice
          key={phone}
          kind="warning"
          title={t("camera.otherLacks", { count: photosOf(phone) })}
          testId="lens-lacking"
        >
          <p>{t("camera.otherLacksHow")}</p>
        </Notice>
      ))}
      {kept.length > 0 ? (
        <fieldset className="plain">
          <legend>{t("camera.otherKept")}</legend>
          <ul className="profile-list">
            {kept.map((lens) => (
              <KeptLens
                key={lens.id}
                kept={lens}
                kind="checkbox"
                checked={others.includes(lens.id)}
                onChange={(chosen) => choose(lens.id, chosen)}
              />
            ))}
          </ul>
        </fieldset>
      ) : null}
    </Panel>
  );
}

/** Phones whose photos are here while their lens is not. */
const phonesWithout = (state: ReturnType<typeof useJob>["state"]): string[] => {
  const known = new Set(state.otherLenses.map(({ phone }) => phone));
  const phones = activePhotos(state, "boards").flatMap(({ device }) => device ?? []);
  return [...new Set(phones)].filter((phone) => !known.has(phone)).sort();
};
