import { type CSSProperties, useState } from "react";
import type { Move, Result } from "../../../job/result/result.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { go, stageHref } from "../../context/routes.ts";
import { MoveDrawing } from "../../drawing/MoveDrawing.tsx";
import { feetWords, moveWord, quantityOf, wayOf, wayWord } from "../../i18n/words.ts";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Panel } from "../../parts/Panel.tsx";

/** Digits that a hand can follow. */
const decimalsOf = (move: Move): number => (move.unit === "mm" ? 0 : 2);

/** The moves in order, and the way to read them from two metres away. */
export function MovesPanel({ result }: { readonly result: Result }) {
  const { t, show } = useApp();
  const { session, state } = useJob();
  if (result.moves.length === 0) {
    return null;
  }
  return (
    <Panel title={t("moves.title")}>
      <ol className="moves">
        {result.moves.map((move) => (
          <li key={move.order} data-testid="move">
            <MoveDrawing move={move} />
            <span>
              <span className="moves-kind">{moveWord(move.kind, t)}</span>
              <strong className="moves-amount">
                {show(move.amount, quantityOf(move), decimalsOf(move))} {wayWord(wayOf(move), t)}
              </strong>
            </span>
          </li>
        ))}
      </ol>
      <div className="button-row">
        <ButtonLink href={stageHref(state.record.id, "placement", "moves")} kind="now" icon="next">
          {t("moves.large")}
        </ButtonLink>
        <Button
          icon="camera"
          onClick={() => {
            session.beginSetup();
            go(stageHref(state.record.id, "photos"));
          }}
        >
          {t("moves.moved")}
        </Button>
      </div>
      <p className="small quiet">{t("moves.movedHint")}</p>
    </Panel>
  );
}

/** The longer the amount, the smaller its letters, so that it stays in one line. */
const lettersOf = (amount: string): CSSProperties =>
  ({ "--letters": Math.max(5, amount.length) }) as CSSProperties;

/** One move at a time, as large as the screen allows. */
export function MovesScreen({ result }: { readonly result: Result }) {
  const { t, show } = useApp();
  const { session, state } = useJob();
  const [at, setAt] = useState(0);
  const { moves } = result;
  const back = stageHref(state.record.id, "placement");
  if (moves.length === 0) {
    return <p>{t("moves.none")}</p>;
  }
  const move = moves[Math.min(at, moves.length - 1)];
  const last = at >= moves.length - 1;
  const amount = show(move.amount, quantityOf(move), decimalsOf(move));
  const feet = feetWords(move, t, show);
  return (
    <section className="move-big" aria-live="polite" data-testid="move-big">
      <p className="move-big-count">
        {t("moves.count", { number: at + 1, count: moves.length })} · {moveWord(move.kind, t)}
      </p>
      <MoveDrawing move={move} />
      <p className="move-big-amount" style={lettersOf(amount)}>
        {amount}
      </p>
      <p className="move-big-way">{wayWord(wayOf(move), t)}</p>
      <p className="small quiet">{t("moves.arrow")}</p>
      {feet.length > 0 ? (
        <div className="move-big-text">
          <p>{t("moves.feet")}</p>
          <ul>
            {feet.map((words) => (
              <li key={words}>{words}</li>
            ))}
          </ul>
        </div>
      ) : null}
      <div className="button-row move-big-buttons">
        {at > 0 ? (
          <Button icon="back" onClick={() => setAt(at - 1)}>
            {t("moves.previous")}
          </Button>
        ) : (
          <ButtonLink href={back} icon="back">
            {t("stage.placement")}
          </ButtonLink>
        )}
        {last ? (
          <Button
            kind="now"
            icon="camera"
            onClick={() => {
              session.beginSetup();
              go(stageHref(state.record.id, "photos"));
            }}
          >
            {t("moves.doneShoot")}
          </Button>
        ) : (
          <Button kind="now" icon="next" onClick={() => setAt(at + 1)}>
            {t("moves.following")}
          </Button>
        )}
      </div>
    </section>
  );
}
