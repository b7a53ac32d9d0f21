import type { ReactNode } from "react";
import type { CameraProfile } from "../../../lens/profile.ts";
import { useApp } from "../../context/app-context.ts";
import { formatNumber } from "../../i18n/units.ts";
import type { OfferedProfile } from "../../store/profiles.ts";

/** A kept lens that can be chosen, as one entry of a list. `aside`: what else can be done with it. */
export function KeptLens(props: {
  readonly kept: OfferedProfile;
  readonly kind: "radio" | "checkbox";
  readonly checked: boolean;
  readonly onChange: (chosen: boolean) => void;
  readonly aside?: ReactNode;
}) {
  const { t } = useApp();
  const { profile } = props.kept;
  return (
    <li>
      <label className="profile">
        <input
          type={props.kind}
          {...(props.kind === "radio" && { name: "profile" })}
          checked={props.checked}
          onChange={({ target }) => props.onChange(target.checked)}
        />
        <span>
          <strong>{phoneName(profile, t)}</strong>
          <br />
          <LensMarks profile={profile} from={props.kept.from} />
        </span>
      </label>
      {props.aside}
    </li>
  );
}

/**
 * What tells one lens from another. Two phones of one model give the same name and size: the focal
 * length and the job whose photos it comes from differ.
 */
function LensMarks({
  profile,
  from,
}: {
  readonly profile: CameraProfile;
  readonly from: string | null;
}) {
  const { t, locale, when } = useApp();
  const { width, height } = profile.identity;
  const focal = formatNumber(profile.lens.fx, 1, locale);
  return (
    <span className="quiet small">
      {width} × {height} px · {t("camera.keptFocal", { focal })} · {when(profile.calibratedAt)}
      {from ? (
        <>
          <br />
          {t("camera.keptFrom", { job: from })}
        </>
      ) : null}
    </span>
  );
}

export const phoneName = ({ identity }: CameraProfile, t: ReturnType<typeof useApp>["t"]): string =>
  [identity.make, identity.model].filter(Boolean).join(" ") || t("camera.unnamed");
