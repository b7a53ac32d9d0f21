import { useApp } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { NumberField } from "../../parts/fields/NumberField.tsx";

/** Three dimensions in words instead of signed coordinates. */
export type Offsets = readonly (number | null)[];

interface Axis {
  readonly label: TextKey;
  readonly positive: TextKey;
  readonly negative: TextKey;
}

/** As seen from the front of the target: right, up, out of the face. */
export const offsetAxes: readonly Axis[] = [
  { label: "offset.sideways", positive: "offset.right", negative: "offset.left" },
  { label: "offset.upDown", positive: "offset.above", negative: "offset.below" },
  { label: "offset.inOut", positive: "offset.inFront", negative: "offset.behindFace" },
];

interface OffsetFieldsProps {
  readonly value: Offsets;
  /** Sides taken until a number says otherwise: +1 or -1 per axis. */
  readonly usual: readonly [1 | -1, 1 | -1, 1 | -1];
  readonly place: string;
  readonly focusNow?: boolean;
  readonly onChange: (value: (number | null)[]) => void;
}

export function OffsetFields({ value, usual, place, focusNow, onChange }: OffsetFieldsProps) {
  const set = (axis: number, part: number | null) =>
    onChange(value.map((old, at) => (at === axis ? part : old)));
  return (
    <div className="offset-fields">
      {offsetAxes.map((axis, at) => (
        <OffsetField
          key={axis.label}
          axis={axis}
          value={value[at] ?? null}
          usual={usual[at]}
          place={`${place}.${at}`}
          focusNow={focusNow === true && at === 0}
          onChange={(part) => set(at, part)}
        />
      ))}
    </div>
  );
}

function OffsetField(props: {
  readonly axis: Axis;
  readonly value: number | null;
  readonly usual: 1 | -1;
  readonly place: string;
  readonly focusNow: boolean;
  readonly onChange: (value: number | null) => void;
}) {
  const { axis, value, usual, place, focusNow, onChange } = props;
  const { t } = useApp();
  const sign = value === null || value === 0 ? usual : value < 0 ? -1 : 1;
  const next = (field: HTMLElement | null) => {
    const fields = [...(field?.closest(".offset-fields")?.querySelectorAll("input") ?? [])];
    const at = fields.indexOf(document.activeElement as HTMLInputElement);
    fields[at + 1]?.focus();
  };
  return (
    <div className="offset-field">
      <NumberField
        label={t(axis.label)}
        quantity="length"
        value={value === null ? null : Math.abs(value)}
        at={place}
        focusNow={focusNow}
        onEnter={() => next(document.activeElement as HTMLElement | null)}
        onChange={(size) => onChange(size === null ? null : size < 0 ? size : sign * size)}
      />
      <div className="chip-row">
        {([-1, 1] as const).map((side) => (
          <button
            key={side}
            type="button"
            className="chip"
            aria-pressed={sign === side}
            onClick={() => onChange(value === null ? null : side * Math.abs(value))}
          >
            {t(side > 0 ? axis.positive : axis.negative)}
          </button>
        ))}
      </div>
    </div>
  );
}

/** "451 mm left of the middle, 16 mm above it, 14 mm in front": all three in one sentence. */
export function offsetWords(
  value: Offsets,
  t: ReturnType<typeof useApp>["t"],
  showStated: ReturnType<typeof useApp>["showStated"],
): string {
  return offsetAxes
    .map(({ positive, negative }, at) => {
      const part = value[at] ?? null;
      return part === null
        ? t("offset.missing")
        : t("offset.words", {
            amount: showStated(Math.abs(part), "length"),
            side: t(part < 0 ? negative : positive),
          });
    })
    .join(", ");
}
