import { useApp, useJob } from "../../context/app-context.ts";
import type { TextKey } from "../../i18n/translate.ts";
import { Notice } from "../../parts/Notice.tsx";
import { activePhotos } from "../../state/job-state.ts";

/** Light as the camera saw it: exposure time decides about shake, sensitivity about noise. */
export function Light() {
  const { t, locale } = useApp();
  const { state } = useJob();
  const exposures = activePhotos(state, "boards").flatMap((photo) => {
    const outcome = state.outcomes.get(photo.id)?.outcome;
    const exif = outcome?.ok ? outcome.findings.exif : null;
    return exif?.exposureTimeS ? [{ time: exif.exposureTimeS, iso: exif.iso }] : [];
  });
  if (exposures.length === 0) {
    return <p className="quiet">{t("bay.lightUnknown")}</p>;
  }
  const longest = Math.max(...exposures.map((item) => item.time));
  const highest = Math.max(...exposures.map((item) => item.iso ?? 0));
  const values = {
    count: exposures.length,
    time: `1/${new Intl.NumberFormat(locale, { maximumFractionDigits: 0 }).format(1 / longest)} s`,
    iso: highest > 0 ? String(highest) : "–",
  };
  const advice = adviceFor(longest, highest);
  return (
    <>
      <p>{t("bay.lightFacts", values)}</p>
      <Notice kind={advice.good ? "info" : "warning"} title={t(advice.text)} />
    </>
  );
}

/** Limits for a phone held by hand: common practice, no source. */
function adviceFor(longestS: number, iso: number): { good: boolean; text: TextKey } {
  if (longestS > 1 / 50) {
    return { good: false, text: "bay.lightDark" };
  }
  if (iso > 1600) {
    return { good: false, text: "bay.lightNoisy" };
  }
  return { good: true, text: "bay.lightGood" };
}
