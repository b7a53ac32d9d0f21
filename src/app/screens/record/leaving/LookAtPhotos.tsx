import { useApp } from "../../../context/app-context.ts";
import type { Covered } from "../../../store/records/covers.ts";
import { PhotoToCopy } from "./PhotoToCopy.tsx";
import type { PhotoToLookAt } from "./use-covering.ts";

/** Every photo before it leaves, with what is covered in it; a finger or mouse covers more. */
export function LookAtPhotos(props: {
  readonly shown: readonly PhotoToLookAt[];
  readonly onChange: (id: string, covered: readonly Covered[]) => void;
}) {
  const { shown, onChange } = props;
  const { t } = useApp();
  return (
    <>
      <p>{t("copies.look")}</p>
      <ul className="plain-list" data-testid="copies">
        {shown.map(({ id, name, picture, covered }) => (
          <li key={id} data-faces={covered.length}>
            <PhotoToCopy
              name={name}
              picture={picture}
              covered={covered}
              onChange={(places) => onChange(id, places)}
            />
          </li>
        ))}
      </ul>
    </>
  );
}
