import { Fragment, useEffect, useState } from "react";
import type { BoardView } from "../../../detect/findings/findings.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { go, stageHref } from "../../context/routes.ts";
import { PhotoDrawing } from "../../drawing/PhotoDrawing.tsx";
import { boardName, boardRole } from "../../i18n/board-name.ts";
import { formatNumber } from "../../i18n/units.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Remarks } from "../../parts/Notice.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { useObjectUrl } from "../../parts/use-object-url.ts";
import { inBackground } from "../../state/failures.ts";
import { resultOfPhoto } from "../../state/photo/photo-result.ts";
import type { PhotoRecord } from "../../store/database/schema.ts";
import { photoBytes } from "../../store/photos.ts";

/** One photo with what was found drawn over it, and what to do better. */
export function PhotoScreen({ photo }: { readonly photo: PhotoRecord }) {
  const { t } = useApp();
  const { session, state } = useJob();
  const [blob, setBlob] = useState<Blob | null>(null);
  useEffect(() => {
    setBlob(null);
    inBackground(photoBytes(photo.id).then(setBlob));
  }, [photo.id]);
  const url = useObjectUrl(blob);
  const outcome = state.outcomes.get(photo.id)?.outcome;
  const list = state.photos.filter((item) => item.purpose === photo.purpose && !item.removed);
  const at = list.findIndex((item) => item.id === photo.id);
  const goTo = (step: number) => stageHref(state.record.id, "photos", list[at + step].id);
  const result = resultOfPhoto(state.result?.result, photo);
  return (
    <>
      <div className="photo-nav">
        <ButtonLink href={homeOf(state.record.id, photo)} icon="back">
          {t("photo.all")}
        </ButtonLink>
        <span className="photo-nav-steps" data-again="">
          {at > 0 ? <ButtonLink href={goTo(-1)} icon="back" label={t("photo.previous")} /> : null}
          {at >= 0 && at < list.length - 1 ? (
            <ButtonLink href={goTo(1)} icon="next" label={t("photo.following")} />
          ) : null}
        </span>
      </div>
      <Panel title={photo.name}>
        {blob && outcome?.ok ? (
          <PhotoDrawing photo={blob} findings={outcome.findings} />
        ) : url ? (
          <img className="photo-plain" src={url} alt={photo.name} />
        ) : null}
        {!outcome ? <p className="quiet">{t("photo.waiting")}</p> : null}
        {outcome && !outcome.ok ? <Remarks remarks={[outcome.remark]} /> : null}
        {outcome?.ok ? <Remarks remarks={outcome.findings.remarks} /> : null}
        {result ? <Remarks remarks={result.remarks} /> : null}
      </Panel>
      {outcome?.ok ? (
        <Panel title={t("photo.found", { count: outcome.findings.boards.length })}>
          {outcome.findings.boards.length === 0 ? (
            <p>{t("photo.nothingHelp")}</p>
          ) : (
            <BoardTable boards={outcome.findings.boards} />
          )}
        </Panel>
      ) : null}
      <Button
        icon="bin"
        onClick={() => {
          session.removePhotos([photo.id]);
          go(homeOf(state.record.id, photo));
        }}
      >
        {t("photo.remove")}
      </Button>
    </>
  );
}

/** Where the photo belongs: camera step, teaching a target, or the bay. */
const homeOf = (jobId: string, { purpose }: PhotoRecord): string =>
  purpose === "target"
    ? stageHref(jobId, "boards", "teach")
    : stageHref(jobId, purpose === "sheet" ? "camera" : "photos");

function BoardTable({ boards }: { readonly boards: readonly BoardView[] }) {
  const { t, say, locale } = useApp();
  const inOrder = [...boards].sort((a, b) => a.id - b.id);
  const number = (value: number, digits: number) => formatNumber(value, digits, locale);
  return (
    <div className="table-scroll">
      <table className="facts-table">
        <thead>
          <tr>
            <th scope="col">{t("photo.board")}</th>
            <th scope="col">{t("photo.grade")}</th>
            <th scope="col" className="number">
              {t("photo.cell")} <span className="unit">(px)</span>
            </th>
            <th scope="col" className="number">
              {t("photo.slant")}
            </th>
            <th scope="col" className="number">
              {t("photo.residual")} <span className="unit">(px)</span>
            </th>
          </tr>
        </thead>
        <tbody>
          {inOrder.map((board) => (
            <Fragment key={board.id}>
              <tr>
                <th scope="row">
                  <BoardCell id={board.id} />
                </th>
                <td>{t(gradeKeys[board.quality.grade])}</td>
                <td className="number">{number(board.quality.cellPx, 1)}</td>
                <td className="number">{number(board.quality.obliquityDeg, 0)}°</td>
                <td className="number">{number(board.quality.residualPx, 2)}</td>
              </tr>
              {board.quality.reasons.map((reason, at) => (
                <tr key={reason} className="facts-table-note">
                  <td colSpan={5} className="small quiet">
                    {say(board.quality.said?.[at], reason)}
                  </td>
                </tr>
              ))}
            </Fragment>
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** The board's number, and below it what the board is for. */
function BoardCell({ id }: { readonly id: number }) {
  const { t } = useApp();
  const role = boardRole(id, t);
  return role ? (
    <>
      {id}
      <span className="block small quiet">{role}</span>
    </>
  ) : (
    boardName(id, t)
  );
}

const gradeKeys = {
  good: "grade.good",
  weak: "grade.weak",
  "not used": "grade.notUsed",
} as const;
