import { type CSSProperties, useEffect, useRef, useState } from "react";
import { isHeldBack } from "../../../job/result/outcome.ts";
import type { Result } from "../../../job/result/result.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { go, stageHref } from "../../context/routes.ts";
import { StandDrawing } from "../../drawing/StandDrawing.tsx";
import { AloudButton } from "../../parts/AloudButton.tsx";
import { Button, ButtonLink } from "../../parts/Button.tsx";
import { Panel } from "../../parts/Panel.tsx";
import { useAwake } from "../../parts/touch/use-awake.ts";
import { Words } from "../../parts/Words.tsx";
import { type HandLine, handMove, spokenMove } from "./hand-moves.ts";

const isBehind = ({ drawing }: Result): boolean =>
  ((drawing.requiredTarget ?? drawing.measuredTarget)?.positionMm[0] ?? 0) < drawing.rearAxleMm[0];

/** The moves in order, and the way to read them from some metres away. */
export function MovesPanel({ result }: { readonly result: Result }) {
  const app = useApp();
  const { t } = app;
  const { session, state } = useJob();
  if (result.moves.length === 0) {
    return null;
  }
  const moves = result.moves.map((move) => handMove(move, app));
  const doubtful = isHeldBack(result);
  return (
    <Panel title={t("moves.title")}>
      {doubtful ? (
        <p data-testid="moves-doubtful">
          <strong>{t("moves.doubtful")}</strong>
        </p>
      ) : null}
      <ol className="moves">
        {moves.map((hand) => (
          <li key={hand.move.order} data-testid="move">
            <StandDrawing move={hand.move} behind={isBehind(result)} />
            <div className="moves-words">
              <p className="moves-kind">{hand.kind}</p>
              {hand.lines.map((line, at) => (
                // biome-ignore lint/suspicious/noArrayIndexKey: two feet may move alike; lines have an order only.
                <p key={at}>
                  {line.what ? <span className="moves-what">{line.what}</span> : null}
                  <strong className="moves-amount">{line.amount}</strong> {line.way}
                </p>
              ))}
            </div>
          </li>
        ))}
      </ol>
      <p className="small quiet">{t("moves.inOrder")}</p>
      <div className="button-row">
        <Button
          {...(doubtful ? {} : { kind: "now" })}
          icon="full"
          onClick={() => {
            fillScreen();
            go(stageHref(state.record.id, "placement", "moves"));
          }}
        >
          {t("moves.large")}
        </Button>
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
      <p className="small quiet">
        <Words text={t("moves.movedHint")} />
      </p>
    </Panel>
  );
}

/** All of the screen where the browser has it to give; the moves cover the window in any case. */
function fillScreen(): void {
  document.documentElement.requestFullscreen?.().catch(() => {});
}

function leaveFullScreen(): void {
  if (document.fullscreenElement) {
    document.exitFullscreen().catch(() => {});
  }
}

/** The longer the amount, the smaller its letters, so that it stays in one line. */
const lettersOf = (lines: readonly HandLine[]): CSSProperties =>
  ({
    "--letters": Math.max(5, ...lines.map(({ amount }) => amount.length)),
    "--lines": lines.length,
  }) as CSSProperties;

/** One move at a time, as large as the screen allows, upright or lying. */
export function MovesScreen({ result }: { readonly result: Result }) {
  const app = useApp();
  const { t } = app;
  const { session, state } = useJob();
  const [at, setAt] = useState(0);
  useAwake();
  // Over everything else, which cannot be reached meanwhile.
  const window = useRef<HTMLDialogElement>(null);
  useEffect(() => {
    window.current?.showModal();
    return leaveFullScreen;
  }, []);
  const { moves } = result;
  const back = stageHref(state.record.id, "placement");
  if (moves.length === 0) {
    return <p>{t("moves.none")}</p>;
  }
  const hand = handMove(moves[Math.min(at, moves.length - 1)], app);
  const last = at >= moves.length - 1;
  return (
    <dialog
      ref={window}
      className="move-big"
      aria-label={t("moves.title")}
      data-testid="move-big"
      onCancel={(event) => {
        event.preventDefault();
        go(back);
      }}
    >
      <div className="move-big-head">
        <ButtonLink href={back} icon="cross">
          {t("moves.close")}
        </ButtonLink>
        <p className="move-big-count">
          {t("moves.count", { number: at + 1, count: moves.length })} · {hand.kind}
          {isHeldBack(result) ? <strong> · {t("moves.doubtful")}</strong> : null}
        </p>
        <AloudButton text={spokenMove(hand)} />
      </div>
      <StandDrawing move={hand.move} behind={isBehind(result)} />
      <div className="move-big-lines" style={lettersOf(hand.lines)} aria-live="polite">
        {hand.lines.map((line, at) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: two feet may move alike; lines have an order only.
          <MoveLine key={at} line={line} />
        ))}
      </div>
      <div className="button-row move-big-buttons">
        {at > 0 ? (
          <Button icon="back" onClick={() => setAt(at - 1)}>
            {t("moves.previous")}
          </Button>
        ) : null}
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
    </dialog>
  );
}

function MoveLine({ line }: { readonly line: HandLine }) {
  return (
    <p className="move-big-line">
      {line.what ? <span className="move-big-what">{line.what}</span> : null}
      <span className="move-big-amount">{line.amount}</span>
      <span className="move-big-way">{line.way}</span>
    </p>
  );
}
