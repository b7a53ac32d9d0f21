import { roleOf } from "../../../boards/kit.ts";
import { useApp } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { ChoiceField, SelectField } from "../../parts/fields/Fields.tsx";
import { NumberField } from "../../parts/fields/NumberField.tsx";
import { Panel } from "../../parts/Panel.tsx";
import type { DraftLength } from "../../store/acceptance.ts";
import { newId } from "../../store/database/database.ts";
import type { DraftProps } from "./draft-props.ts";

const usable = Array.from({ length: 587 }, (_, id) => id).filter((id) =>
  ["floor point", "length bar", "stand"].includes(roleOf(id)?.kind ?? ""),
);
const readings = 3;

/** Lengths between board centres, each with its readings. */
export function AcceptanceLengths({ draft, change }: DraftProps) {
  const { t } = useApp();
  const setAll = (next: (lengths: DraftLength[]) => DraftLength[]) =>
    change((d) => ({ ...d, lengths: next(d.lengths) }));
  const set = (id: string, part: Partial<DraftLength>) =>
    setAll((lengths) => lengths.map((item) => (item.id === id ? { ...item, ...part } : item)));
  const nameOf = (id: string): string => {
    const instrument = draft.instruments.find((item) => item.id === id);
    return instrument ? instrument.name || t(`accept.kind.${instrument.kind}`) : "–";
  };
  return (
    <Panel title={t("accept.lengths")}>
      <p>{t("accept.lengthsText")}</p>
      {draft.lengths.map((length, index) => (
        <fieldset key={length.id} className="length">
          <legend>
            {length.from === null || length.to === null
              ? t("accept.length", { number: index + 1 })
              : t("accept.lengthOf", {
                  number: index + 1,
                  boards: `${length.from} – ${length.to}`,
                  instrument: nameOf(length.instrument),
                  use: t(`accept.use.${length.use}`),
                })}
          </legend>
          <div className="form-pair">
            {Array.from({ length: readings }, (_, at) => (
              <NumberField
                // biome-ignore lint/suspicious/noArrayIndexKey: the three fields never move
                key={at}
                label={t("accept.reading", { number: at + 1 })}
                at={`${length.id}.${at}`}
                quantity="length"
                value={length.readingsMm[at] ?? null}
                onChange={(mm) =>
                  set(length.id, {
                    readingsMm: Array.from({ length: readings }, (_, k) =>
                      k === at ? mm : (length.readingsMm[k] ?? null),
                    ),
                  })
                }
              />
            ))}
          </div>
          <details open={length.from === null || length.to === null}>
            <summary>{t("accept.change")}</summary>
            <div className="form-pair">
              <BoardOf
                label={t("boards.from")}
                value={length.from}
                onChange={(from) => set(length.id, { from })}
              />
              <BoardOf
                label={t("boards.to")}
                value={length.to}
                onChange={(to) => set(length.id, { to })}
              />
            </div>
            <SelectField
              label={t("accept.by")}
              value={length.instrument}
              choices={draft.instruments.map(({ id, name, kind }) => ({
                value: id,
                label: name || t(`accept.kind.${kind}`),
              }))}
              onChange={(instrument) => set(length.id, { instrument })}
            />
            <ChoiceField
              label={t("accept.use")}
              value={length.use}
              choices={[
                { value: "test", label: t("accept.use.test") },
                { value: "scale", label: t("accept.use.scale") },
              ]}
              onChange={(use) => set(length.id, { use })}
            />
            <Button
              icon="bin"
              onClick={() => setAll((lengths) => lengths.filter(({ id }) => id !== length.id))}
            >
              {t("accept.remove")}
            </Button>
          </details>
        </fieldset>
      ))}
      <Button
        icon="plus"
        onClick={() =>
          setAll((lengths) => [
            ...lengths,
            {
              id: newId(),
              use: "test",
              from: null,
              to: null,
              instrument: draft.instruments[0]?.id ?? "",
              readingsMm: [null, null, null],
            },
          ])
        }
      >
        {t("accept.addLength")}
      </Button>
    </Panel>
  );
}

function BoardOf(props: {
  readonly label: string;
  readonly value: number | null;
  readonly onChange: (board: number | null) => void;
}) {
  const { label, value, onChange } = props;
  const { t } = useApp();
  return (
    <SelectField
      label={label}
      value={value === null ? "" : String(value)}
      choices={[
        { value: "", label: t("boards.chooseBoard") },
        ...usable.map((id) => ({ value: String(id), label: String(id) })),
      ]}
      onChange={(id) => onChange(id === "" ? null : Number(id))}
    />
  );
}
