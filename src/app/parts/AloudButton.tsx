import { useEffect, useState } from "react";
import { useApp } from "../context/app-context.ts";
import { Button } from "./Button.tsx";
import { canSpeak, hush, sayAloud } from "./touch/aloud.ts";

/**
 * Reads what is on the screen: one tap turns it on for everything that follows, another off. Said
 * again whenever `text` changes. Nothing is shown where the device has no voice of its own.
 */
export function AloudButton({ text }: { readonly text: string }) {
  const { t, settings, changeSettings } = useApp();
  const language = document.documentElement.lang;
  const [able, setAble] = useState(() => canSpeak(language));
  useEffect(() => {
    const look = () => setAble(canSpeak(document.documentElement.lang));
    const { speechSynthesis } = globalThis;
    // Voices arrive some time after the page.
    speechSynthesis?.addEventListener?.("voiceschanged", look);
    look();
    return () => speechSynthesis?.removeEventListener?.("voiceschanged", look);
  }, []);
  useEffect(() => {
    if (settings.aloud && able) {
      sayAloud(text, document.documentElement.lang);
    }
    return hush;
  }, [settings.aloud, able, text]);
  if (!able) {
    return null;
  }
  return (
    <Button
      aria-pressed={settings.aloud}
      icon="sound"
      onClick={() => changeSettings({ aloud: !settings.aloud })}
      data-testid="aloud"
    >
      {t(settings.aloud ? "aloud.off" : "aloud.on")}
    </Button>
  );
}
