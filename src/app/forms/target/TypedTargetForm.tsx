import { useState } from "react";
import { useApp, useJob } from "../../context/app-context.ts";
import { TargetDrawing } from "../../drawing/TargetDrawing.tsx";
import { standIds } from "../../library/teaching.ts";
import {
  byRule,
  type TypedTarget,
  typedBoard,
  withoutTarget,
  withTypedTarget,
} from "../../library/typed-target.ts";
import { Button } from "../../parts/Button.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { withoutUnread } from "../../state/unread.ts";
import { OffsetFields, offsetWords } from "./OffsetFields.tsx";

/** Where a target is against the boards on its stand, as three dimensions per board, in words. */
export function TypedTargetForm({ target }: { readonly target: TypedTarget }) {
  const { t, showStated } = useApp();
  const { session } = useJob();
  const [open, setOpen] = useState<number | null>(() => firstOpen(target));
  const place = `target.${target.name}`;
  const set = (change: Partial<TypedTarget>) =>
    session.update((record) =>
      withTypedTarget(record, target.name, { ...target, ...change } as TypedTarget),
    );
  const free = standIds.filter((id) => !target.boards.some(({ board }) => board === id));
  return (
    <div className="typed-target" data-testid="typed-target">
      <TargetDrawing {...target} open={open} />
      <ul className="check-rows">
        {target.boards.map((board, at) => (
          <li
            key={board.board}
            className={`check-row ${open === board.board ? "check-row-open" : ""}`}
          >
            <button
              type="button"
              className="check-row-head"
              aria-expanded={open === board.board}
              onClick={() => setOpen(open === board.board ? null : board.board)}
            >
              <span className="check-row-letter">{board.board}</span>
              <span className="check-row-words">{offsetWords(board.centreMm, t, showStated)}</span>
            </button>
            {open === board.board ? (
              <div className="check-entry">
                <p className="small">{t("target.measureTo", { board: board.board })}</p>
                <OffsetFields
                  value={board.centreMm}
                  usual={[at % 2 === 0 ? -1 : 1, 1, 1]}
                  place={`${place}.${board.board}`}
                  focusNow={board.centreMm[0] === null}
                  onChange={(centreMm) =>
                    set({
                      boards: target.boards.map((old, index) =>
                        index === at ? { ...old, centreMm } : old,
                      ),
                    })
                  }
                />
                <div className="button-row">
                  {target.boards[at + 1] ? (
                    <Button icon="next" onClick={() => setOpen(target.boards[at + 1].board)}>
                      {t("target.nextBoard", { board: target.boards[at + 1].board })}
                    </Button>
                  ) : null}
                  <Button
                    icon="bin"
                    onClick={() => {
                      session.update((record) => withoutUnread(record, `${place}.${board.board}`));
                      set({ boards: target.boards.filter((_, index) => index !== at) });
                    }}
                  >
                    {t("target.removeBoard")}
                  </Button>
                </div>
              </div>
            ) : null}
          </li>
        ))}
      </ul>
      <div className="button-row">
        {free.length > 0 ? (
          <Button
            icon="plus"
            onClick={() => {
              set({ boards: [...target.boards, typedBoard(free[0])] });
              setOpen(free[0]);
            }}
          >
            {t("target.addBoard", { board: free[0] })}
          </Button>
        ) : null}
        <Button
          icon="bin"
          onClick={() =>
            session.update((record) => withoutTarget(withoutUnread(record, place), target.name))
          }
        >
          {t("target.remove")}
        </Button>
      </div>
      <Exactness target={target} place={place} onChange={set} />
      <Feet target={target} place={place} onChange={set} />
    </div>
  );
}

const firstOpen = ({ boards }: TypedTarget): number | null =>
  boards.find(({ centreMm }) => centreMm.includes(null))?.board ?? null;

interface PartProps {
  readonly target: TypedTarget;
  readonly place: string;
  readonly onChange: (change: Partial<TypedTarget>) => void;
}

/** How exactly the boards sit where it says: shown, open to change, the same for all of them. */
function Exactness({ target, place, onChange }: PartProps) {
  const { t, showUncertainty } = useApp();
  const [first] = target.boards;
  if (!first) {
    return null;
  }
  const shift = typeof first.shiftSdMm === "number" ? first.shiftSdMm : 0.5;
  const turn = typeof first.turnSdDeg === "number" ? first.turnSdDeg : 0.05;
  const set = (change: { shiftSdMm?: number; turnSdDeg?: number }) =>
    onChange({ boards: target.boards.map((board) => ({ ...board, ...change })) });
  return (
    <details className="fold">
      <summary>
        <span>
          {t("target.sure", {
            mm: showUncertainty(2 * shift, "length", 1),
            angle: showUncertainty(2 * turn, "angle", 1),
          })}
        </span>
        <span className="quiet small">{t("sheet.linesChange")}</span>
      </summary>
      <div className="fold-body form">
        <p className="small quiet">
          {t("target.sureExplain", {
            mm: showUncertainty(2 * byRule.shiftSdMm, "length", 1),
            angle: showUncertainty(2 * byRule.turnSdDeg, "angle", 1),
          })}
        </p>
        <div className="form-pair">
          <NumberField
            label={t("target.sureShift")}
            quantity="length"
            tolerance
            at={`${place}.shift`}
            value={2 * shift}
            onChange={(size) => set({ shiftSdMm: size === null || size <= 0 ? shift : size / 2 })}
          />
          <NumberField
            label={t("target.sureTurn")}
            quantity="angle"
            tolerance
            at={`${place}.turn`}
            value={2 * turn}
            onChange={(size) => set({ turnSdDeg: size === null || size <= 0 ? turn : size / 2 })}
          />
        </div>
        <div className="form-pair">
          <NumberField
            label={t("field.widthMm")}
            quantity="length"
            at={`${place}.width`}
            value={target.widthMm ?? null}
            onChange={(size) => onChange({ widthMm: size ?? undefined })}
          />
          <NumberField
            label={t("field.heightMm")}
            quantity="length"
            at={`${place}.height`}
            value={target.heightMm ?? null}
            onChange={(size) => onChange({ heightMm: size ?? undefined })}
          />
        </div>
      </div>
    </details>
  );
}

/** Feet of the stand: with them a move says which foot goes where. */
function Feet({ target, place, onChange }: PartProps) {
  const { t } = useApp();
  const feet = target.feet ?? [];
  return (
    <details className="fold">
      <summary>
        <span>{t("target.feet", { count: feet.length })}</span>
      </summary>
      <div className="fold-body form">
        <p className="small quiet">{t("target.feetExplain")}</p>
        {feet.map((foot, at) => (
          // biome-ignore lint/suspicious/noArrayIndexKey: entries are edited in place by position
          <fieldset className="tuple" key={at}>
            <legend>{foot.name}</legend>
            <OffsetFields
              value={foot.inTargetMm}
              usual={[at % 2 === 0 ? -1 : 1, -1, -1]}
              place={`${place}.foot${at}`}
              onChange={(inTargetMm) =>
                onChange({
                  feet: feet.map((old, index) => (index === at ? { ...old, inTargetMm } : old)),
                })
              }
            />
            <Button
              icon="bin"
              onClick={() => onChange({ feet: feet.filter((_, index) => index !== at) })}
            >
              {t("form.remove")}
            </Button>
          </fieldset>
        ))}
        <Button
          icon="plus"
          onClick={() =>
            onChange({
              feet: [
                ...feet,
                {
                  name: t(footNames[feet.length] ?? "target.foot", { number: feet.length + 1 }),
                  inTargetMm: [null, null, null],
                },
              ],
            })
          }
        >
          {t("target.addFoot")}
        </Button>
      </div>
    </details>
  );
}

const footNames = ["target.footLeft", "target.footRight", "target.footFar"] as const;
