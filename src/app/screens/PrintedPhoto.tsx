import { useApp, useJob } from "../app-context.ts";
import type { PhotoRecord } from "../storage/schema.ts";
import { useObjectUrl } from "./PhotoGrid.tsx";

/** A small photo for the paper, with what was found in words. */
export function PrintedPhoto({ photo }: { readonly photo: PhotoRecord }) {
  const { t } = useApp();
  const { state } = useJob();
  const url = useObjectUrl(photo.thumb);
  const outcome = state.outcomes.get(photo.id)?.outcome;
  return (
    <li>
      {url ? <img src={url} alt="" /> : null}
      <p className="small">
        <strong>{photo.name}</strong>
        <br />
        {outcome?.ok
          ? `${t("paper.boards")}: ${outcome.findings.boards.map((board) => board.id).join(", ") || "–"}`
          : t("photo.unusable")}
      </p>
    </li>
  );
}
