import { useRef, useState } from "react";
import { useApp } from "../context/app-context.ts";
import { Button } from "./Button.tsx";
import { piecesOf, type Term } from "./glossary.ts";
import { TermPicture } from "./TermPicture.tsx";

/** A text whose terms can be tapped for two sentences and a picture. */
export function Words({ text }: { readonly text: string }) {
  const { t } = useApp();
  return piecesOf(text, (term) => t(`term.${term}`)).map(({ text: part, term }) =>
    term ? (
      <TermButton key={term} term={term}>
        {part}
      </TermButton>
    ) : (
      part
    ),
  );
}

function TermButton({ term, children }: { readonly term: Term; readonly children: string }) {
  const [open, setOpen] = useState(false);
  return (
    <>
      <button type="button" className="term" onClick={() => setOpen(true)}>
        {children}
      </button>
      {open ? <TermWindow term={term} onClose={() => setOpen(false)} /> : null}
    </>
  );
}

function TermWindow({ term, onClose }: { readonly term: Term; readonly onClose: () => void }) {
  const { t } = useApp();
  const window = useRef<HTMLDialogElement>(null);
  const name = t(`term.${term}`);
  return (
    <dialog
      className="dialog"
      aria-label={name}
      onClose={onClose}
      ref={(element) => {
        window.current = element;
        if (element && !element.open) {
          element.showModal();
        }
      }}
    >
      <strong className="block">{name}</strong>
      <span className="dialog-body block">
        <TermPicture term={term} />
        {t(`term.${term}.text`)}
      </span>
      <Button onClick={() => window.current?.close()}>{t("glossary.close")}</Button>
    </dialog>
  );
}
