import { useState } from "react";
import { useApp } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { Words } from "../Words.tsx";
import { NumberField } from "./NumberField.tsx";

interface HowSureProps<Way extends string> {
  readonly label: string;
  readonly ways: readonly Way[];
  /** The chosen way; null for a figure of one's own. */
  readonly way: Way | null;
  /** Standard deviation, mm. */
  readonly sdMm: number | null;
  readonly at: string;
  readonly onWay: (way: Way) => void;
  readonly onSd: (sdMm: number) => void;
}

/** 95 of 100 readings lie within two standard deviations. */
const within = 2;

/** How something was measured, in a technician's words; the figure behind it is shown and editable. */
export function HowSure<Way extends string>(props: HowSureProps<Way>) {
  const { label, ways, way, sdMm, at, onWay, onSd } = props;
  const { t, showUncertainty } = useApp();
  const [open, setOpen] = useState(false);
  return (
    <fieldset className="choice how-sure">
      <legend>
        <Words text={label} />
      </legend>
      <div className="chip-row">
        {ways.map((item) => (
          <button
            key={item}
            type="button"
            className="chip"
            aria-pressed={item === way}
            onClick={() => onWay(item)}
          >
            {t(`way.${item}` as TextKey)}
          </button>
        ))}
      </div>
      <p className="small quiet">
        <Words
          text={
            sdMm === null
              ? t("sure.unknown")
              : t("sure.within", { amount: showUncertainty(within * sdMm, "length", 1) })
          }
        />{" "}
        <button type="button" className="link" aria-expanded={open} onClick={() => setOpen(!open)}>
          {t("sure.figure")}
        </button>
      </p>
      {open ? (
        <NumberField
          label={t("sure.own")}
          hint={t("sure.ownHint")}
          quantity="length"
          tolerance
          at={at}
          value={sdMm === null ? null : within * sdMm}
          problem={sdMm !== null && sdMm <= 0 ? t("field.mustBePositive") : null}
          onChange={(size) => {
            if (size !== null && size > 0) {
              onSd(size / within);
            }
          }}
        />
      ) : null}
    </fieldset>
  );
}
