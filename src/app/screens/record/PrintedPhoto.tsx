import type { PhotoFindings } from "../../../detect/findings/findings.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { useObjectUrl } from "../../parts/use-object-url.ts";
import { bayChecks, carChecks, checkKey, recordChecks } from "../../state/check-lists.ts";
import type { PhotoRecord } from "../../store/database/schema.ts";
import { CoveredPlaces } from "./leaving/CoveredPlaces.tsx";
import { useCover } from "./leaving/use-cover.ts";

/**
 * A small photo for the paper, with what was found in words. Paper leaves the shop: faces are covered,
 * and a photo that nobody has looked at is named, not shown.
 */
export function PrintedPhoto({ photo }: { readonly photo: PhotoRecord }) {
  const { t } = useApp();
  const { state } = useJob();
  const url = useObjectUrl(photo.thumb);
  const cover = useCover(photo.id);
  const outcome = state.outcomes.get(photo.id)?.outcome;
  return (
    <li>
      {url && cover ? (
        <div className="printed-photo">
          <img src={url} alt="" />
          <CoveredPlaces covered={cover.covered} />
        </div>
      ) : (
        <p className="small">{t("paper.photoHeld")}</p>
      )}
      <p className="small">
        <strong>{photo.name}</strong>
        <br />
        {photo.purpose === "note"
          ? noteOf(photo.about, t)
          : outcome?.ok
            ? `${t("paper.boards")}: ${idsOf(outcome.findings).join(", ") || "–"}`
            : t("photo.unusable")}
      </p>
    </li>
  );
}

const idsOf = ({ boards }: PhotoFindings): number[] =>
  boards.map((board) => board.id).sort((a, b) => a - b);

/** Which check a note photo belongs to. */
function noteOf(about: string, t: ReturnType<typeof useApp>["t"]): string {
  const name = about.replace("check:", "");
  const known = [...carChecks, ...bayChecks, ...recordChecks].find((item) => item === name);
  return known ? t(checkKey(known)) : "";
}
