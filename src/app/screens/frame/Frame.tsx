import { type ReactNode, useEffect } from "react";
import { useApp } from "../../context/app-context.ts";
import { Icon } from "../../parts/icons/Icon.tsx";
import { Mark } from "../../parts/icons/Mark.tsx";
import { UpdateLine } from "../../pwa/UpdateLine.tsx";
import { BrowserNeeds } from "./BrowserNeeds.tsx";
import { FailureLines } from "./FailureLines.tsx";

interface FrameProps {
  readonly title: string;
  readonly back?: { readonly href: string; readonly label: string };
  readonly children?: ReactNode;
}

/** Head line and main part of every screen. */
export function Frame({ title, back, children }: FrameProps) {
  const { t } = useApp();
  useEffect(() => {
    document.title = title === "Plumbshot" ? title : `${title} · Plumbshot`;
  }, [title]);
  return (
    <>
      <button type="button" className="jump" onClick={jumpToMain}>
        {t("frame.skip")}
      </button>
      <header className="head">
        {back ? (
          <a className="head-back" href={back.href}>
            <Icon name="back" />
            <span>{back.label}</span>
          </a>
        ) : (
          <a className="head-brand" href="#/">
            <Mark />
            <span>Plumbshot</span>
          </a>
        )}
        <a className="head-settings" href="#/settings" aria-label={t("settings.title")}>
          <Icon name="gear" />
        </a>
      </header>
      <UpdateLine />
      <main id="main" className="main" tabIndex={-1}>
        <BrowserNeeds />
        <FailureLines />
        {children}
      </main>
    </>
  );
}

/** The hash belongs to the routes, so the jump moves the focus itself. */
function jumpToMain(): void {
  document.getElementById("main")?.focus();
}
