import { useApp } from "../context/app-context.ts";
import { Button } from "./Button.tsx";

interface ZoomButtonsProps {
  readonly zoom: number;
  readonly most: number;
  readonly step: number;
  readonly onChange: (zoom: number) => void;
}

/** Smaller and larger, down to the whole drawing. */
export function ZoomButtons({ zoom, most, step, onChange }: ZoomButtonsProps) {
  const { t } = useApp();
  return (
    <div className="bay-zoom" data-again="">
      <Button
        icon="minus"
        aria-label={t("drawing.smaller")}
        disabled={zoom <= 1}
        onClick={() => onChange(Math.max(1, zoom / step))}
      />
      <Button
        icon="plus"
        aria-label={t("drawing.larger")}
        disabled={zoom >= most}
        onClick={() => onChange(Math.min(most, zoom * step))}
      />
    </div>
  );
}
