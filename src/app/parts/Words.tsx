import { useMemo, useRef, useState } from "react";
import { useApp } from "../context/app-context.ts";
import { farMm, farWords } from "../i18n/units.ts";
import { Button } from "./Button.tsx";
import { type Piece, piecesOf, type Term } from "./glossary.ts";
import { TermPicture } from "./TermPicture.tsx";

function usePieces(text: string): readonly Piece[] {
  const { t } = useApp();
  return useMemo(() => piecesOf(text, (term) => t(`term.${term}`)), [text, t]);
}

/** A text whose terms can be tapped for two sentences and a picture. */
export function Words({ text }: { readonly text: string }) {
  return usePieces(text).map(({ text: part, term }) =>
    term ? (
      <TermButton key={term} term={term}>
        {part}
      </TermButton>
    ) : (
      part
    ),
  );
}

/** For a label, which cannot hold a button: the way to its terms' explanations, beside it. */
export function TermOf({ text }: { readonly text: string }) {
  const { t } = useApp();
  return usePieces(text).map(({ term }) =>
    term ? (
      <TermButton key={term} term={term} label={t("glossary.whatIs", { term: t(`term.${term}`) })}>
        ?
      </TermButton>
    ) : null,
  );
}

function TermButton(props: {
  readonly term: Term;
  /** How it is called where what it shows is not the term itself. */
  readonly label?: string;
  readonly children: string;
}) {
  const { term, label, children } = props;
  const [open, setOpen] = useState(false);
  return (
    <>
      <button
        type="button"
        className={label ? "term term-mark" : "term"}
        aria-label={label}
        onClick={() => setOpen(true)}
      >
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
        <TermText term={term} />
      </span>
      <Button onClick={() => window.current?.close()}>{t("glossary.close")}</Button>
    </dialog>
  );
}

/** The two sentences of a term, with lengths in the chosen unit. */
export function TermText({ term }: { readonly term: Term }) {
  const { t, show, units, locale } = useApp();
  return t(`term.${term}.text`, {
    far: farWords(units, locale),
    off: show(farMm * 0.005, "length", 0),
  });
}
