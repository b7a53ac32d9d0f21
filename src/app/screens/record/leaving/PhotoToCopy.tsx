import type { PointerEvent } from "react";
import { useApp } from "../../../context/app-context.ts";
import { Button } from "../../../parts/Button.tsx";
import { useObjectUrl } from "../../../parts/use-object-url.ts";
import type { Covered } from "../../../store/records/covers.ts";
import { CoveredPlaces } from "./CoveredPlaces.tsx";

/** Half the brush, share of the picture's width. */
const brush = 0.035;

/** A photo before it leaves: covered places are drawn on it; a finger or mouse covers more. */
export function PhotoToCopy(props: {
  readonly name: string;
  readonly picture: Blob;
  readonly covered: readonly Covered[];
  readonly onChange: (covered: readonly Covered[]) => void;
}) {
  const { name, picture, covered, onChange } = props;
  const { t } = useApp();
  const url = useObjectUrl(picture);
  const paint = (event: PointerEvent<HTMLDivElement>) => {
    if (event.buttons !== 1) {
      return;
    }
    const frame = event.currentTarget.getBoundingClientRect();
    const x = (event.clientX - frame.left) / frame.width;
    const y = (event.clientY - frame.top) / frame.height;
    const tall = (brush * frame.width) / frame.height;
    onChange([...covered, { left: x - brush, right: x + brush, top: y - tall, bottom: y + tall }]);
  };
  return (
    <figure>
      <div className="copy-photo" onPointerDown={paint} onPointerMove={paint}>
        {url ? <img src={url} alt={name} draggable={false} /> : null}
        <CoveredPlaces covered={covered} />
      </div>
      <figcaption>
        {name} · {t("copies.covered", { count: covered.length })}{" "}
        <Button
          kind="bare"
          disabled={covered.length === 0}
          onClick={() => onChange(covered.slice(0, -1))}
        >
          {t("copies.undo")}
        </Button>
      </figcaption>
    </figure>
  );
}
