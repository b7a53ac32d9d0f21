import { useState } from "react";
import { roleOf } from "../../../boards/kit.ts";
import { readingWays, sdOfReading } from "../../../job/file/reading-ways.ts";
import { useApp, useJob } from "../../context/app-context.ts";
import { boardRole } from "../../i18n/board-name.ts";
import { Button } from "../../parts/Button.tsx";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { HowSure } from "../../parts/fields/HowSure.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Words } from "../../parts/Words.tsx";
import { isComplete } from "../../state/job-file.ts";
import { withoutUnread } from "../../state/unread.ts";
import { newId } from "../../store/database/database.ts";
import type { LengthReference } from "../../store/database/schema.ts";

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
  // A new length is there to be filled in: its number gets the focus.
  const [added, setAdded] = useState<string | null>(null);
  return (
    <>
      <ul className="length-list">
        {lengths.map((length, index) => (
          <li key={length.id}>
            <fieldset className="length">
              <legend>{t("boards.length", { number: index + 1 })}</legend>
              <div className="form-pair">
                <BoardSelect
                  label={t("boards.from")}
                  value={length.from}
                  onChange={(from) => change(length.id, { from })}
                />
                <BoardSelect
                  label={t("boards.to")}
                  value={length.to}
                  onChange={(to) => change(length.id, { to })}
                />
              </div>
              {length.to !== null && length.to === length.from ? (
                <p className="field-problem" role="alert">
                  {t("boards.sameBoard")}
                </p>
              ) : null}
              <NumberField
                label={t("boards.lengthIs")}
                at={`lengths.${length.id}`}
                focusNow={length.id === added ? 1 : undefined}
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
                onChange={(lengthMm) =>
                  change(length.id, {
                    lengthMm,
                    ...(length.how && lengthMm !== null
                      ? { sdMm: sdOfReading(length.how, lengthMm) }
                      : {}),
                  })
                }
              />
              <HowSure
                label={t("boards.lengthHow")}
                ways={readingWays}
                way={length.how ?? null}
                sdMm={length.sdMm}
                at={`lengths.${length.id}.sure`}
                onWay={(how) =>
                  change(length.id, { how, sdMm: sdOfReading(how, length.lengthMm ?? 0) })
                }
                onSd={(sdMm) => change(length.id, { sdMm, how: undefined })}
              />
              <TextField
                label={t("boards.lengthNote")}
                value={length.note}
                onChange={(note) => change(length.id, { note })}
              />
              {isComplete(length) ? null : (
                <p className="small quiet">
                  <Words text={t("boards.lengthIncomplete")} />
                </p>
              )}
              <Button
                icon="bin"
                onClick={() => {
                  session.update((record) => withoutUnread(record, `lengths.${length.id}`));
                  setAll(lengths.filter((item) => item.id !== length.id));
                }}
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
          const id = newId();
          const [from, to] = freeBar(lengths);
          setAdded(id);
          setAll([
            ...lengths,
            {
              ...{ id, from, to, lengthMm: null, note: "" },
              ...{ how: "laser meter", sdMm: sdOfReading("laser meter", 0) },
            },
          ]);
        }}
      >
        {t("boards.addLength")}
      </Button>
    </>
  );
}

/** Boards between which a length can be measured: floor points and the ends of length bars. */
const measurable = Array.from({ length: 587 }, (_, id) => id).filter((id) =>
  ["floor point", "length bar"].includes(roleOf(id)?.kind ?? ""),
);

/** The first pair of bar ends that no length has yet; none when all are taken. */
function freeBar(lengths: readonly LengthReference[]): readonly [number | null, number | null] {
  const taken = new Set(lengths.flatMap(({ from, to }) => [from, to]));
  const first = [51, 53, 55, 57].find((id) => !taken.has(id) && !taken.has(id + 1));
  return first === undefined ? [null, null] : [first, first + 1];
}

function BoardSelect(props: {
  readonly label: string;
  readonly value: number | null;
  readonly onChange: (board: number | null) => void;
}) {
  const { label, value, onChange } = props;
  const { t } = useApp();
  const known = value === null || measurable.includes(value) ? measurable : [value, ...measurable];
  return (
    <SelectField
      label={label}
      value={value === null ? "" : String(value)}
      choices={[
        { value: "", label: t("boards.chooseBoard") },
        ...known.map((id) => ({
          value: String(id),
          label: `${id}, ${boardRole(id, t) ?? t("boards.noSuchBoard")}`,
        })),
      ]}
      onChange={(id) => onChange(id === "" ? null : Number(id))}
    />
  );
}
