import { useRef } from "react";
import { useApp, useJob } from "../../context/app-context.ts";
import { Button } from "../../parts/Button.tsx";
import { useObjectUrl } from "../../parts/use-object-url.ts";
import { inBackground } from "../../state/failures.ts";
import { activePhotos } from "../../state/job-state.ts";
import type { PhotoRecord } from "../../store/database/schema.ts";

/** The way to a photo that proves one check, for instance of a tyre or the scan's screen. */
export function CheckPhotos({ name, label }: { readonly name: string; readonly label: string }) {
  const { t } = useApp();
  const { session, state } = useJob();
  const input = useRef<HTMLInputElement>(null);
  const about = `check:${name}`;
  const photos = activePhotos(state, "note").filter((photo) => photo.about === about);
  return (
    <>
      <button type="button" className="link" onClick={() => input.current?.click()}>
        {t("checks.photo")}
        <span className="only-heard">: {label}</span>
      </button>
      <input
        ref={input}
        type="file"
        accept="image/*"
        multiple
        hidden
        data-testid={`photo-of-${name}`}
        onChange={(event) => {
          const field = event.currentTarget;
          const files = Array.from(field.files ?? [], (file) => ({ name: file.name, blob: file }));
          const place = { purpose: "note", position: 1, epoch: "before", about } as const;
          inBackground(
            session.addPhotos(files, place).finally(() => {
              field.value = "";
            }),
          );
        }}
      />
      {photos.length > 0 ? (
        <ul className="check-photos">
          {photos.map((photo) => (
            <CheckPhoto key={photo.id} photo={photo} />
          ))}
        </ul>
      ) : null}
    </>
  );
}

function CheckPhoto({ photo }: { readonly photo: PhotoRecord }) {
  const { t } = useApp();
  const { session } = useJob();
  const url = useObjectUrl(photo.thumb);
  return (
    <li>
      {url ? <img src={url} alt={photo.name} /> : <span className="small">{photo.name}</span>}
      <Button
        kind="bare"
        icon="bin"
        aria-label={`${t("photo.remove")}: ${photo.name}`}
        onClick={() => session.removePhotos([photo.id])}
      />
    </li>
  );
}
