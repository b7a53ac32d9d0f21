import { type ReactNode, useEffect, useId, useRef } from "react";
import { useApp } from "../context/app-context.ts";
import { Button } from "./Button.tsx";

interface ConfirmProps {
  readonly title: string;
  readonly children: ReactNode;
  readonly action: string;
  readonly onConfirm: () => void;
  readonly onClose: () => void;
}

/** Asks before something that cannot be undone. The browser's own dialog keeps the focus inside. */
export function Confirm({ title, children, action, onConfirm, onClose }: ConfirmProps) {
  const { t } = useApp();
  const ref = useRef<HTMLDialogElement>(null);
  const id = useId();
  useEffect(() => {
    ref.current?.showModal();
  }, []);
  return (
    <dialog ref={ref} className="dialog" aria-labelledby={id} onClose={onClose}>
      <h2 id={id}>{title}</h2>
      <div className="dialog-body">{children}</div>
      <div className="button-row">
        <Button onClick={() => ref.current?.close()}>{t("action.keep")}</Button>
        <Button
          onClick={() => {
            onConfirm();
            ref.current?.close();
          }}
        >
          {action}
        </Button>
      </div>
    </dialog>
  );
}
