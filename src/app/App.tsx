import { lazy, Suspense, useCallback, useEffect, useMemo, useRef, useState } from "react";
import { AppContext, type AppContextValue, type Show } from "./context/app-context.ts";
import { useRoute } from "./context/routes.ts";
import type { Engine } from "./engine/engine.ts";
import { sayingsIn } from "./i18n/speech.ts";
import {
  english,
  fill,
  type Language,
  loadLanguage,
  pickLanguage,
  type Spoken,
  type Translate,
} from "./i18n/translate.ts";
import {
  formatBoth,
  formatMeasured,
  formatQuantity,
  formatStated,
  formatUncertainty,
} from "./i18n/units.ts";
import { replicateByItself } from "./replica/auto.ts";
import { JobsScreen } from "./screens/jobs/JobsScreen.tsx";
import { inBackground } from "./state/failures.ts";
import { defaultSettings, type Settings } from "./store/database/schema.ts";
import { loadSettings, saveSettings } from "./store/settings.ts";

const JobScreen = lazy(() => import("./screens/job/JobScreen.tsx"));
const RecordsScreen = lazy(() => import("./screens/record/RecordsScreen.tsx"));
const ShopScreen = lazy(() => import("./screens/shop/ShopScreen.tsx"));
const SheetOnScreen = lazy(() => import("./screens/camera/SheetOnScreen.tsx"));
const AcceptanceScreen = lazy(() => import("./screens/acceptance/AcceptanceScreen.tsx"));
const BuildingScreen = lazy(() => import("./screens/building/BuildingScreen.tsx"));
const GuideScreen = lazy(() => import("./screens/building/GuideScreen.tsx"));
const GlossaryScreen = lazy(() => import("./screens/glossary/GlossaryScreen.tsx"));
const SettingsScreen = lazy(() => import("./screens/settings/SettingsScreen.tsx"));

export function App({ engine }: { readonly engine: Engine }) {
  const [settings, setSettings] = useState<Settings | null>(null);
  const [spoken, setSpoken] = useState<Spoken>(english);
  /** A language whose texts could not be loaded. */
  const [missing, setMissing] = useState<Language | null>(null);
  useEffect(() => {
    loadSettings().then(setSettings, () => setSettings(defaultSettings));
  }, []);
  const language = pickLanguage(settings?.language ?? "auto", navigator.languages);
  useEffect(() => {
    let left = false;
    setMissing(null);
    loadLanguage(language).then(
      (loaded) => left || setSpoken(loaded),
      () => {
        // Without its texts English is better than an empty page.
        if (!left) {
          setSpoken(english);
          setMissing(language);
        }
      },
    );
    return () => {
      left = true;
    };
  }, [language]);
  useEffect(() => {
    document.documentElement.lang = spoken.language;
  }, [spoken.language]);
  useEffect(() => {
    const theme = settings?.theme ?? "auto";
    document.documentElement.dataset.theme = theme;
  }, [settings?.theme]);
  useEffect(() => {
    document.documentElement.dataset.gloves = settings?.gloves ? "on" : "off";
  }, [settings?.gloves]);
  const changeSettings = useCallback((change: Partial<Settings>) => {
    setSettings((present) => {
      const next = { ...(present ?? defaultSettings), ...change };
      inBackground(saveSettings(next));
      return next;
    });
  }, []);
  const latest = useRef(settings);
  latest.current = settings;
  useEffect(
    () =>
      replicateByItself(
        () => latest.current,
        ({ plateSets, printSets }) =>
          changeSettings({ plateSets: [...plateSets], printSets: [...printSets] }),
      ),
    [changeSettings],
  );
  const value = useMemo<AppContextValue>(() => {
    const chosen = settings ?? defaultSettings;
    const units = { length: chosen.length, angle: chosen.angle };
    const locale = localeFor(spoken.language);
    const dates = new Intl.DateTimeFormat(locale, { dateStyle: "medium", timeStyle: "short" });
    const t: Translate = (key, parameters) => fill(spoken.texts[key], parameters);
    const showBy =
      (format: typeof formatQuantity): Show =>
      (amount, quantity, decimals) =>
        format(amount, quantity, decimals, units, locale);
    const showUncertainty = showBy(formatUncertainty);
    return {
      t,
      show: showBy(formatQuantity),
      showMeasured: showBy(formatMeasured),
      showUncertainty,
      showBoth: showBy(formatBoth),
      showStated: (amount, quantity) => formatStated(amount, quantity, units, locale),
      ...sayingsIn(spoken, t, locale, units, showUncertainty),
      locale,
      units,
      settings: chosen,
      engine,
      changeSettings,
      when: (iso) => dates.format(new Date(iso)),
    };
  }, [settings, spoken, engine, changeSettings]);
  if (!settings || (spoken.language !== language && missing !== language)) {
    return null;
  }
  return (
    <AppContext value={value}>
      {missing ? <p role="alert">{value.t("failure.language")}</p> : null}
      <Screens />
    </AppContext>
  );
}

/** The browser's own regional form of the language, for dates and decimal marks. */
function localeFor(language: Language): string {
  return navigator.languages.find((tag) => tag.toLowerCase().startsWith(language)) ?? language;
}

function Screens() {
  const route = useRoute();
  const place = JSON.stringify(route);
  const shown = useRef(place);
  useEffect(() => {
    if (shown.current !== place) {
      shown.current = place;
      window.scrollTo(0, 0);
    }
  }, [place]);
  switch (route.page) {
    case "jobs":
      return <JobsScreen />;
    case "settings":
      return (
        <Suspense fallback={null}>
          <SettingsScreen />
        </Suspense>
      );
    case "building":
      return (
        <Suspense fallback={null}>
          <BuildingScreen />
        </Suspense>
      );
    case "guide":
      return (
        <Suspense fallback={null}>
          <GuideScreen />
        </Suspense>
      );
    case "acceptance":
      return (
        <Suspense fallback={null}>
          <AcceptanceScreen />
        </Suspense>
      );
    case "glossary":
      return (
        <Suspense fallback={null}>
          <GlossaryScreen />
        </Suspense>
      );
    case "records":
      return (
        <Suspense fallback={null}>
          <RecordsScreen />
        </Suspense>
      );
    case "shop":
      return (
        <Suspense fallback={null}>
          <ShopScreen />
        </Suspense>
      );
    case "sheet on screen":
      return (
        <Suspense fallback={null}>
          <SheetOnScreen />
        </Suspense>
      );
    case "job":
    case "stage":
      return (
        <Suspense fallback={null}>
          <JobScreen
            key={route.id}
            id={route.id}
            stage={route.page === "stage" ? route.stage : null}
            detail={route.page === "stage" ? route.detail : ""}
          />
        </Suspense>
      );
  }
}
