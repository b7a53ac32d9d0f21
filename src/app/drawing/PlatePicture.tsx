import { useApp } from "../context/app-context.ts";

/** A wheel plate on its wheel, cut through the wheel's middle: the offset that is asked for once. */
export function PlatePicture({ offset }: { readonly offset: string }) {
  const { t } = useApp();
  return (
    <svg className="target-drawing" viewBox="0 0 360 190" role="img" aria-label={t("plates.heard")}>
      <path className="visible" d="M60 14h52v22H60zM60 138h52v22H60z" />
      <path className="phantom" d="M60 36v102M112 36 96 60v54l16 24" />
      <path className="centre" d="M20 87H340M112 6V186" />
      <path className="fine-strong" d="M112 24h34M112 150h34M146 20v134M146 87h62" />
      <path className="visible" d="M208 40h7v94h-7z" />
      <path className="asked" d="M112 176H215M112 170v12M215 170v12" />
      <text x={163} y={170} textAnchor="middle" className="sheet-drawing-value halo">
        {offset}
      </text>
      <text x={6} y={92} className="sheet-drawing-word halo">
        {t("plates.wheel")}
      </text>
      <text x={118} y={14} className="sheet-drawing-word halo">
        {t("plates.wheelPlane")}
      </text>
      <text x={222} y={52} className="sheet-drawing-word">
        {t("plates.printedFace")}
      </text>
      <text x={222} y={80} className="sheet-drawing-word halo">
        {t("plates.hubLine")}
      </text>
    </svg>
  );
}
