import type { CheckDraft } from "../../../placement/sheet/draft.ts";
import { useApp } from "../../context/app-context.ts";
import { SelectField, TextField } from "../../parts/fields/Fields.tsx";
import { Words } from "../../parts/Words.tsx";
import { PointSelect } from "./PointSelect.tsx";

interface CheckExtrasProps {
  readonly check: CheckDraft;
  readonly onChange: (change: Partial<CheckDraft>) => void;
}

const corners = ["upper left", "upper right", "lower left", "lower right"] as const;
const floors = ["floor under the target", "floor under the car"] as const;

/** What a kind needs besides its number: between which points, of which corner, above which floor. */
export function CheckExtras({ check, onChange }: CheckExtrasProps) {
  const { t } = useApp();
  switch (check.kind) {
    case "distance":
    case "lateral offset":
      return (
        <PointSelect label={t("field.of")} value={check.of} onChange={(of) => onChange({ of })} />
      );
    case "height":
      return (
        <>
          <SelectField
            label={t("field.above")}
            value={String(check.above ?? "")}
            choices={[
              { value: "", label: t("sheet.asTheSheet") },
              ...floors.map((value) => ({ value, label: t(`word.${value}`) })),
            ]}
            onChange={(above) => onChange({ above: above === "" ? undefined : above })}
          />
          <PointSelect label={t("field.of")} value={check.of} onChange={(of) => onChange({ of })} />
        </>
      );
    case "straight distance":
    case "range":
    case "bearing":
      return (
        <>
          <PointSelect
            label={t("field.from")}
            value={check.from}
            onChange={(from) => onChange({ from })}
          />
          <PointSelect label={t("field.to")} value={check.to} onChange={(to) => onChange({ to })} />
        </>
      );
    case "equal diagonals":
      return (
        <>
          <PairSelect
            label={t("field.first")}
            pair={check.first}
            onChange={(first) => onChange({ first })}
          />
          <PairSelect
            label={t("field.second")}
            pair={check.second}
            onChange={(second) => onChange({ second })}
          />
        </>
      );
    case "parallel":
      return (
        <SelectField
          label={t("field.axle")}
          value={String(check.axle)}
          choices={(["front", "rear"] as const).map((value) => ({
            value,
            label: t(`word.${value}`),
          }))}
          onChange={(axle) => onChange({ axle })}
        />
      );
    case "mat corner along":
    case "mat corner across":
      return (
        <SelectField
          label={t("field.corner")}
          value={String(check.corner)}
          choices={corners.map((value) => ({ value, label: t(`word.${value}`) }))}
          onChange={(corner) => onChange({ corner })}
        />
      );
    case "free space":
      return (
        <>
          <PointSelect
            label={t("field.from")}
            value={check.from}
            onChange={(from) => onChange({ from })}
          />
          <TextField
            label={t("sheet.obstacles")}
            hint={t("sheet.obstaclesHint")}
            value={boardsIn(check.obstacles)}
            onChange={(text) => onChange({ obstacles: obstaclesFrom(text, check.obstacles) })}
          />
        </>
      );
    default:
      return null;
  }
}

function PairSelect(props: {
  readonly label: string;
  readonly pair: unknown;
  readonly onChange: (pair: unknown[]) => void;
}) {
  const { label, pair, onChange } = props;
  const { t } = useApp();
  const ends = Array.isArray(pair) ? (pair as unknown[]) : [undefined, undefined];
  return (
    <fieldset className="tuple">
      <legend>
        <Words text={label} />
      </legend>
      <PointSelect
        label={t("field.from")}
        value={ends[0]}
        onChange={(p) => onChange([p, ends[1]])}
      />
      <PointSelect label={t("field.to")} value={ends[1]} onChange={(p) => onChange([ends[0], p])} />
    </fieldset>
  );
}

interface FloorBoard {
  readonly kind: "floor board";
  readonly board: string;
}
const isFloorBoard = (item: unknown): item is FloorBoard =>
  typeof item === "object" && item !== null && (item as FloorBoard).kind === "floor board";

const boardsIn = (obstacles: unknown): string =>
  (Array.isArray(obstacles) ? obstacles : [])
    .filter(isFloorBoard)
    .map(({ board }) => board)
    .join(" ");

/** "21 22" as two floor boards; obstacles of other kinds, from a file, stay. */
const obstaclesFrom = (text: string, before: unknown): unknown[] => [
  ...(Array.isArray(before) ? before.filter((item) => !isFloorBoard(item)) : []),
  ...[...text.matchAll(/\d+/g)].map(([board]) => ({ kind: "floor board", board })),
];
