import { kitRanges } from "../../../boards/kit.ts";
import { useApp } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";

interface SetBoardsProps {
  readonly chosen: readonly number[];
  readonly onChange: (boards: number[]) => void;
}

const roleKeys: Readonly<Record<(typeof kitRanges)[number]["kind"], TextKey>> = {
  "wheel plate": "role.wheel",
  "floor point": "role.floor",
  stand: "role.stand",
  pointer: "role.pointer",
  "length bar": "role.bar",
};

/** Which boards were printed together: whole kinds in one tap, single boards below. */
export function SetBoards({ chosen, onChange }: SetBoardsProps) {
  const { t } = useApp();
  const groups = kitRanges.map(({ kind, first, last }) => ({
    kind,
    name: `${t(roleKeys[kind])} ${first}–${last}`,
    ids: Array.from({ length: last - first + 1 }, (_, at) => first + at),
  }));
  const has = (id: number) => chosen.includes(id);
  const put = (ids: readonly number[], on: boolean) => {
    const others = chosen.filter((id) => !ids.includes(id));
    onChange((on ? [...others, ...ids] : others).sort((a, b) => a - b));
  };
  return (
    <fieldset className="choice">
      <legend>{t("prints.which")}</legend>
      <div className="chip-row">
        {groups.map(({ kind, name, ids }) => (
          <button
            key={kind}
            type="button"
            className="chip"
            aria-pressed={ids.every(has)}
            onClick={() => put(ids, !ids.every(has))}
          >
            {name}
          </button>
        ))}
      </div>
      <p className={chosen.length === 0 ? "field-problem" : "small"}>
        {chosen.length === 0
          ? t("prints.noBoards")
          : t("prints.chosen", { count: chosen.length, boards: spans(chosen) })}
      </p>
      <details className="fold">
        <summary>
          <span>{t("prints.single")}</span>
        </summary>
        <div className="fold-body form">
          {groups.map(({ kind, name, ids }) => (
            <fieldset className="choice" key={kind}>
              <legend>{name}</legend>
              <div className="tick-row">
                {ids.map((id) => (
                  <label key={id} className="tick">
                    <input
                      type="checkbox"
                      checked={has(id)}
                      onChange={(event) => put([id], event.target.checked)}
                    />
                    {id}
                  </label>
                ))}
              </div>
            </fieldset>
          ))}
        </div>
      </details>
    </fieldset>
  );
}

/** "1–4, 31, 32": numbers in order, runs of three and more as a span. */
function spans(ids: readonly number[]): string {
  const runs: number[][] = [];
  for (const id of [...ids].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last && last[last.length - 1] === id - 1) last.push(id);
    else runs.push([id]);
  }
  return runs
    .map((run) => (run.length > 2 ? `${run[0]}–${run[run.length - 1]}` : run.join(", ")))
    .join(", ");
}
