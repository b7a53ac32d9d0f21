import { useCallback, useEffect, useState } from "react";
import { fewestPhotos } from "../../../calibrate/guidance/photo-set.ts";
import type { Remark } from "../../../job/result/remark-codes.ts";
import type { CameraProfile } from "../../../lens/profile.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { farWords, formatNumber } from "../../i18n/units.ts";
import { kitPdf, printLanguage } from "../../library/prints.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Facts } from "../../parts/Facts.tsx";
import { ChoiceField } from "../../parts/fields/Fields.tsx";
import { Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { TakenOver } from "../../parts/TakenOver.tsx";
import { inBackground } from "../../state/failures.ts";
import { activePhotos } from "../../state/job-state.ts";
import {
  deleteProfile,
  type OfferedProfile,
  offeredProfiles,
  saveProfile,
} from "../../store/profiles.ts";
import { AddPhotos } from "../photos/AddPhotos.tsx";
import { PhotoGrid } from "../photos/PhotoGrid.tsx";
import {
  CameraGuidance,
  type PresentGuidance,
  photoRemarks,
  presentGuidance,
  Reached,
} from "./CameraGuidance.tsx";
import { KeptLens, phoneName } from "./KeptLens.tsx";
import { OtherPhones } from "./OtherPhones.tsx";

export default function CameraStage() {
  const { t } = useApp();
  const { session, state } = useJob();
  const { source, profileId } = state.record.camera;
  const [profiles, setProfiles] = useState<readonly OfferedProfile[]>([]);
  const reload = useCallback(() => inBackground(offeredProfiles().then(setProfiles)), []);
  useEffect(reload, [reload]);
  return (
    <>
      <Panel title={t("camera.source")}>
        <TakenOver part="lens" />
        <ChoiceField
          label={t("camera.sourceLabel")}
          value={source}
          choices={[
            { value: "sheet photos", label: t("camera.fromSheet") },
            { value: "saved profile", label: t("camera.fromProfile") },
            { value: "own photos", label: t("camera.fromOwn") },
          ]}
          onChange={(value) => inBackground(session.chooseCamera(value, profileId))}
          hint={t(
            source === "sheet photos"
              ? "camera.fromSheetHint"
              : source === "saved profile"
                ? "camera.fromProfileHint"
                : "camera.fromOwnHint",
          )}
        />
      </Panel>
      {source === "sheet photos" ? <SheetPhotos onKept={reload} /> : null}
      {source === "saved profile" ? (
        <Panel title={t("camera.profiles")}>
          <ProfileList profiles={profiles} chosen={profileId} onChange={reload} />
        </Panel>
      ) : null}
      <OtherPhones profiles={profiles} />
    </>
  );
}

function SheetPhotos({ onKept }: { readonly onKept: () => void }) {
  const { t } = useApp();
  const { session, state } = useJob();
  const photos = activePhotos(state, "sheet");
  const found = photos.flatMap((photo) => {
    const outcome = state.outcomes.get(photo.id)?.outcome;
    return outcome?.ok ? [outcome.findings] : [];
  });
  const present = presentGuidance(state, session.engineVersion);
  const { guidance, looking, soFar } = present;
  const answer = state.camera?.answer;
  return (
    <>
      <Panel
        title={t("camera.sheetPhotos")}
        aside={<span className="number">{photos.length}</span>}
      >
        {photos.length === 0 ? <SheetLinks /> : null}
        <CameraGuidance {...present} found={found} />
        <AddPhotos
          place={{ purpose: "sheet", position: 1, epoch: "before", about: "" }}
          now={looking ? soFar.needed > 0 : !guidance.enough}
          testId="add-sheet-photos"
        />
        <Reached {...present} />
        <PhotoGrid photos={photos} />
        {photos.length > 0 ? <SheetLinks /> : null}
      </Panel>
      {answer && (answer.ok || guidance.counted >= fewestPhotos) ? (
        <Panel title={t("camera.lens")}>
          {answer.ok ? (
            <>
              <LensFacts profile={answer.camera.profile} />
              <Remarks remarks={notSaidAbove(answer.camera.remarks, guidance)} />
              <KeepProfile profile={answer.camera.profile} onKept={onKept} />
            </>
          ) : (
            <Remarks remarks={notSaidAbove(answer.remarks, guidance)} />
          )}
        </Panel>
      ) : null}
    </>
  );
}

/** Where to get the sheet; first of all while there is no photo, afterwards out of the way. */
function SheetLinks() {
  const { t, settings, locale } = useApp();
  return (
    <>
      <p>{t("camera.sheetHowTo")}</p>
      <ButtonLink href={kitPdf[printLanguage(locale)][settings.paper]} icon="print" newTab>
        {t("camera.openSheet")}
      </ButtonLink>
      <span className="not-on-phone">
        <ButtonLink href="#/sheet" icon="target">
          {t("camera.onScreen")}
        </ButtonLink>
      </span>
    </>
  );
}

/** Remarks that the guidance above already makes are left out. */
function notSaidAbove(
  remarks: readonly Remark[],
  guidance: PresentGuidance["guidance"],
): readonly Remark[] {
  const said = photoRemarks(guidance);
  return remarks.filter(
    ({ code, about }) =>
      !said.some((remark) => remark.code === code && remark.about === about) &&
      !(code === "corner-not-covered" && guidance.missingCorners.length > 0),
  );
}

function KeepProfile(props: { readonly profile: CameraProfile; readonly onKept: () => void }) {
  const { t } = useApp();
  const { state } = useJob();
  const [kept, setKept] = useState(false);
  return (
    <Button
      icon="save"
      disabled={kept}
      data-testid="keep-lens"
      onClick={() => {
        inBackground(
          saveProfile(state.record.id, props.profile).then(() => {
            setKept(true);
            props.onKept();
          }),
        );
      }}
    >
      {t(kept ? "camera.kept" : "camera.keep")}
    </Button>
  );
}

function LensFacts({ profile }: { readonly profile: CameraProfile }) {
  const { t, locale, units, showUncertainty, when } = useApp();
  const { identity, lens, covariance, residualPx, photos, effectAt4mMm } = profile;
  const focalSd = Math.sqrt(Math.max(0, covariance[0]));
  const rows: [string, string][] = [
    [t("camera.phone"), [identity.make, identity.model].filter(Boolean).join(" ") || "–"],
    [t("camera.size"), `${identity.width} × ${identity.height} px`],
    [
      t("camera.focal"),
      `${formatNumber(lens.fx, 1, locale)} px ± ${formatNumber(1.96 * focalSd, 1, locale)} px`,
    ],
    [t("camera.residual"), `${formatNumber(residualPx, 3, locale)} px`],
    [t("camera.photoCount"), String(photos)],
    [
      t("camera.at4m", { far: farWords(units, locale) }),
      effectAt4mMm === null ? "–" : showUncertainty(effectAt4mMm, "length", 2),
    ],
    [t("camera.made"), when(profile.calibratedAt)],
  ];
  return <Facts rows={rows} />;
}

function ProfileList(props: {
  readonly profiles: readonly OfferedProfile[];
  readonly chosen: string | null;
  readonly onChange: () => void;
}) {
  const { t } = useApp();
  const { session } = useJob();
  if (props.profiles.length === 0) {
    return <p className="quiet">{t("camera.noProfiles")}</p>;
  }
  return (
    <ul className="profile-list">
      {props.profiles.map((kept) => (
        <KeptLens
          key={kept.id}
          kept={kept}
          kind="radio"
          checked={kept.id === props.chosen}
          onChange={() => inBackground(session.chooseCamera("saved profile", kept.id))}
          aside={
            <Button
              kind="bare"
              icon="bin"
              aria-label={`${t("camera.forget")}: ${phoneName(kept.profile, t)}`}
              onClick={() => inBackground(deleteProfile(kept.id).then(props.onChange))}
            />
          }
        />
      ))}
    </ul>
  );
}
