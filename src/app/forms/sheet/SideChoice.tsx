import { useApp } from "../../context/app-context.ts";
import { Words } from "../../parts/Words.tsx";

interface SideChoiceProps {
  readonly label: string;
  /** Signed, mm or degrees; null where nothing is entered. */
  readonly value: number | null;
  readonly positive: string;
  readonly negative: string;
  readonly zero: string;
  readonly onChange: (value: number) => void;
}

/**
 * The side in words instead of a sign: some keypads have no minus. Zero is a button of its own, since
 * it is what most procedures ask for.
 */
export function SideChoice(props: SideChoiceProps) {
  const { label, value, positive, negative, zero, onChange } = props;
  const { t } = useApp();
  const size = Math.abs(value ?? 0);
  const sides = [
    { word: zero, chosen: value === 0, to: 0 },
    { word: positive, chosen: size > 0 && (value ?? 0) > 0, to: size },
    { word: negative, chosen: (value ?? 0) < 0, to: -size },
  ];
  return (
    <fieldset className="choice side-choice">
      <legend>
        <Words text={label} />
      </legend>
      <div className="chip-row">
        {sides.map(({ word, chosen, to }, index) => (
          <button
            key={word}
            type="button"
            className="chip"
            aria-pressed={chosen}
            disabled={index > 0 && size === 0}
            title={index > 0 && size === 0 ? t("sheet.sideNeedsValue") : undefined}
            onClick={() => onChange(to)}
          >
            {word}
          </button>
        ))}
      </div>
    </fieldset>
  );
}
