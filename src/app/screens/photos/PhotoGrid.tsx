import { memo } from "react";
import type { PhotoOutcome } from "../../../detect/findings/findings.ts";
import { useApp, useJobState, useSession } from "../../context/app-context.ts";
import { stageHref } from "../../context/routes.ts";
import { Button } from "../../parts/Button.tsx";
import { Icon } from "../../parts/icons/Icon.tsx";
import { useObjectUrl } from "../../parts/use-object-url.ts";
import type { JobState } from "../../state/job-state.ts";
import type { PhotoRecord } from "../../store/database/schema.ts";

/** Photos with their state in words; a tap opens what was found. */
export function PhotoGrid({ photos }: { readonly photos: readonly PhotoRecord[] }) {
  return (
    <ul className="photo-grid">
      {photos.map((photo) => (
        <PhotoTile key={photo.id} photo={photo} />
      ))}
    </ul>
  );
}

/** True where it is to be said which phone took a photo. */
const hasSeveralPhones = ({ photos, otherLenses }: JobState): boolean =>
  otherLenses.length > 0 || photos.some(({ device }) => device !== undefined);

/** Make and model as the photo says, or null. */
const phoneIn = (outcome: PhotoOutcome | undefined): string | null => {
  const exif = outcome?.ok ? outcome.findings.exif : null;
  return [exif?.make, exif?.model].filter(Boolean).join(" ") || null;
};

/** Drawn again only where its own photo changes. */
const PhotoTile = memo(function PhotoTile({ photo }: { readonly photo: PhotoRecord }) {
  const { t } = useApp();
  const session = useSession();
  const thumb = useObjectUrl(photo.thumb);
  const stored = useJobState((state) => state.outcomes.get(photo.id)?.outcome);
  const working = useJobState((state) => state.working.has(photo.id));
  const several = useJobState(hasSeveralPhones);
  const troubled = stored !== undefined && !stored.ok;
  const weak = stored?.ok && stored.findings.boards.length === 0;
  const text = working
    ? t("photo.working")
    : !stored
      ? t("photo.waiting")
      : !stored.ok
        ? t("photo.unusable")
        : photo.purpose === "sheet"
          ? t(weak ? "photo.noSheet" : "photo.sheetFound")
          : t("photo.boards", { count: stored.findings.boards.length });
  return (
    <li className="photo-tile">
      <a
        href={stageHref(photo.jobId, "photos", photo.id)}
        data-testid="photo"
        data-state={working ? "working" : stored ? (stored.ok ? "ok" : "failed") : "waiting"}
      >
        {thumb ? (
          <img src={thumb} alt="" loading="lazy" />
        ) : (
          <span className="photo-tile-empty">
            <Icon name="camera" />
          </span>
        )}
        <span className="photo-tile-name">{photo.name}</span>
        {several && photo.purpose !== "note" ? (
          <span className="photo-tile-phone" data-testid="photo-phone">
            {t("photo.by", {
              phone: phoneIn(stored) ?? t(photo.device ? "photo.otherPhone" : "photo.thisPhone"),
            })}
          </span>
        ) : null}
        <span className={`photo-tile-state ${troubled || weak ? "photo-tile-trouble" : ""}`}>
          {troubled || weak ? <Icon name="warn" /> : null}
          {text}
        </span>
      </a>
      <Button
        kind="bare"
        icon="bin"
        className="photo-tile-bin"
        aria-label={`${t("photo.remove")}: ${photo.name}`}
        onClick={() => session.removePhotos([photo.id])}
      />
    </li>
  );
});
