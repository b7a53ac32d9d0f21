import { useEffect, useRef } from "react";
import { roleOf } from "../../../boards/kit.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { NumberField, TextField } from "../../parts/fields/Fields.tsx";
import { isComplete } from "../../state/job-file.ts";
import { newId } from "../../store/database.ts";
import type { LengthReference } from "../../store/schema.ts";

/** Lengths that a job file takes, mm. */
const shortestMm = 50;
const longestMm = 30_000;

/** Lengths between two boards, measured by tape or laser: they carry the scale. */
export function LengthList() {
  const { t, showMeasured } = useApp();
  const { session, state } = useJob();
  const { lengths } = state.record.boards;
  const setAll = (next: LengthReference[]) =>
    session.update((record) => ({ ...record, boards: { ...record.boards, lengths: next } }));
  const change = (id: string, part: Partial<LengthReference>) =>
    setAll(lengths.map((length) => (length.id === id ? { ...length, ...part } : length)));
  // A new length is there to be filled in: its first field gets the focus.
  const list = useRef<HTMLUListElement>(null);
  const added = useRef(false);
  // biome-ignore lint/correctness/useExhaustiveDependencies: runs when the number of entries changes
  useEffect(() => {
    if (added.current) {
      added.current = false;
      list.current?.querySelector<HTMLElement>("li:last-child input")?.focus();
    }
  }, [lengths.length]);
  return (
    <>
      <ul className="length-list" ref={list}>
        {lengths.map((length, index) => (
          <li key={length.id}>
            <fieldset className="length">
              <legend>{t("boards.length", { number: index + 1 })}</legend>
              <div className="form-pair">
                <NumberField
                  label={t("boards.from")}
                  value={length.from}
                  problem={boardProblem(length.from) ? t("boards.noSuchBoard") : null}
                  onChange={(from) => change(length.id, { from })}
                />
                <NumberField
                  label={t("boards.to")}
                  value={length.to}
                  problem={
                    boardProblem(length.to)
                      ? t("boards.noSuchBoard")
                      : length.to !== null && length.to === length.from
                        ? t("boards.sameBoard")
                        : null
                  }
                  onChange={(to) => change(length.id, { to })}
                />
              </div>
              <div className="form-pair">
                <NumberField
                  label={t("boards.lengthIs")}
                  quantity="length"
                  value={length.lengthMm}
                  problem={
                    length.lengthMm !== null &&
                    (length.lengthMm < shortestMm || length.lengthMm > longestMm)
                      ? t("boards.absurdLength", {
                          least: showMeasured(shortestMm, "length", 0),
                          most: showMeasured(longestMm, "length", 0),
                        })
                      : null
                  }
                  onChange={(lengthMm) => change(length.id, { lengthMm })}
                />
                <NumberField
                  label={t("boards.lengthSd")}
                  quantity="length"
                  value={length.sdMm}
                  problem={
                    length.sdMm !== null && length.sdMm <= 0 ? t("field.mustBePositive") : null
                  }
                  onChange={(sdMm) => change(length.id, { sdMm })}
                />
              </div>
              <TextField
                label={t("boards.lengthNote")}
                value={length.note}
                onChange={(note) => change(length.id, { note })}
              />
              {isComplete(length) ? null : (
                <p className="small quiet">{t("boards.lengthIncomplete")}</p>
              )}
              <Button
                icon="bin"
                onClick={() => setAll(lengths.filter((item) => item.id !== length.id))}
              >
                {t("boards.removeLength")}
              </Button>
            </fieldset>
          </li>
        ))}
      </ul>
      <Button
        icon="plus"
        onClick={() => {
          added.current = true;
          setAll([
            ...lengths,
            { id: newId(), from: null, to: null, lengthMm: null, sdMm: 1, note: "" },
          ]);
        }}
      >
        {t("boards.addLength")}
      </Button>
    </>
  );
}

/** Photos are searched for boards of the kit only. */
const boardProblem = (id: number | null): boolean => id !== null && roleOf(id) === null;
