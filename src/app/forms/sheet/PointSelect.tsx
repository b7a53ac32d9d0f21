import { useApp } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";

/** A point of car or target from one list, instead of a kind with fields of its own. */

const wheels = ["front left", "front right", "rear left", "rear right"] as const;
const corners = ["upper left", "upper right", "lower left", "lower right"] as const;

interface Entry {
  readonly key: string;
  readonly point: Record<string, unknown>;
  readonly words: readonly TextKey[];
}

const entries: readonly Entry[] = [
  { key: "target", point: { kind: "target" }, words: ["word.target"] },
  ...corners.map((corner) => ({
    key: `corner ${corner}`,
    point: { kind: "target corner", corner },
    words: ["word.target corner", `word.${corner}`] as const,
  })),
  ...(["front", "rear"] as const).map((axle) => ({
    key: `axle ${axle}`,
    point: { kind: "axle midpoint", axle },
    words: ["word.axle midpoint", `word.${axle}`] as const,
  })),
  ...wheels.map((wheel) => ({
    key: `wheel ${wheel}`,
    point: { kind: "wheel centre", wheel },
    words: ["word.wheel centre", `word.${wheel}`] as const,
  })),
  { key: "dropped", point: { kind: "dropped point", name: "" }, words: ["word.dropped point"] },
  { key: "board", point: { kind: "floor board", board: "" }, words: ["word.floor board"] },
];

/** The entry that says the same; null for a point that only a file can state. */
const keyOf = (value: unknown): string | null => {
  if (value === undefined || value === null) return "";
  const point = value as Record<string, unknown>;
  if (point.target !== undefined) return null;
  const found = entries.find(({ point: known }) =>
    Object.entries(known).every(([name, part]) => part === "" || point[name] === part),
  );
  return found?.key ?? null;
};

export function PointSelect(props: {
  readonly label: string;
  readonly value: unknown;
  readonly onChange: (value: Record<string, unknown> | undefined) => void;
}) {
  const { label, value, onChange } = props;
  const { t } = useApp();
  const key = keyOf(value);
  const point = (value ?? {}) as Record<string, unknown>;
  const named = key === "dropped" ? "name" : key === "board" ? "board" : null;
  return (
    <>
      <SelectField
        label={label}
        value={key ?? "file"}
        choices={[
          { value: "", label: t("sheet.usualPoint") },
          ...entries.map((entry) => ({
            value: entry.key,
            label: entry.words.map((word) => t(word)).join(", "),
          })),
          ...(key === null ? [{ value: "file", label: t("sheet.pointFromFile") }] : []),
        ]}
        onChange={(next) => {
          if (next !== "file") {
            onChange(entries.find((entry) => entry.key === next)?.point);
          }
        }}
      />
      {named ? (
        <TextField
          label={t(named === "name" ? "sheet.pointName" : "sheet.boardNumber")}
          value={String(point[named] ?? "")}
          onChange={(text) => onChange({ ...point, [named]: text })}
        />
      ) : null}
    </>
  );
}
