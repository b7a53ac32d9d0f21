import { type Guidance, goodEnoughMm } from "../../../calibrate/guidance/guidance.ts";
import { fewestPhotos } from "../../../calibrate/guidance/photo-set.ts";
import type { PhotoFindings } from "../../../detect/findings/findings.ts";
import { useApp } from "../../context/app-context.ts";
import { CoverageDrawing } from "../../drawing/CoverageDrawing.tsx";
import type { TextKey, Translate } from "../../i18n/translate.ts";
import { farWords } from "../../i18n/units.ts";
import { Facts } from "../../parts/Facts.tsx";
import { Notice, Remarks } from "../../parts/Notice.tsx";
import { firstGuidance } from "../../photos/first-guidance.ts";
import { type SheetSoFar, sheetSoFar } from "../../photos/sheet-so-far.ts";
import { cameraDigest } from "../../state/inputs.ts";
import { activePhotos, type JobState, openPhotos } from "../../state/job-state.ts";

/** Advice for the present sheet photos, and whether it is still being worked out. */
export interface PresentGuidance {
  readonly guidance: Guidance;
  readonly looking: boolean;
  /** What the photos examined so far say; stands in for the advice while that is worked out. */
  readonly soFar: SheetSoFar;
}

export function presentGuidance(state: JobState, engineVersion: string): PresentGuidance {
  if (activePhotos(state, "sheet").length === 0) {
    return {
      guidance: firstGuidance,
      looking: false,
      soFar: sheetSoFar(state, firstGuidance.atLeast),
    };
  }
  const current = state.guidance?.inputs === cameraDigest(state, engineVersion);
  const guidance = state.guidance?.guidance ?? firstGuidance;
  return {
    guidance,
    looking: !current || openPhotos(state, "sheet").length > 0,
    soFar: sheetSoFar(state, guidance.atLeast),
  };
}

/** The one thing to do next with the camera sheet, large, what is wrong, and a drawing. */
export function CameraGuidance(
  props: PresentGuidance & { readonly found: readonly PhotoFindings[] },
) {
  const { t } = useApp();
  const { guidance, looking, soFar, found } = props;
  const remarks = looking ? [] : photoRemarks(guidance);
  return (
    <>
      <Notice
        kind={guidance.enough || looking ? "info" : "now"}
        testId="camera-guidance"
        state={looking ? "looking" : guidance.advice.code}
      >
        {looking ? (
          <>
            <p className="guidance-title" aria-live="polite">
              {t("guide.looking")}
            </p>
            <SoFar soFar={soFar} />
          </>
        ) : (
          <Instruction guidance={guidance} />
        )}
      </Notice>
      <Remarks remarks={remarks} />
      <CoverageDrawing photos={found} frame={guidance.frame} asking={!looking} />
    </>
  );
}

/** What is known at once: how far the examining is, and what is missing in any case. */
function SoFar({ soFar }: { readonly soFar: SheetSoFar }) {
  const { t } = useApp();
  const { count, examined, found, missingCorners, needed } = soFar;
  return (
    <>
      <p>{t("guide.soFar", { examined, count, found })}</p>
      {found > 0 && missingCorners.length > 0 ? (
        <p>{t("guide.soFarCorners", { corners: listed(missingCorners, t) })}</p>
      ) : null}
      {needed > 0 ? <p>{t("guide.soFarNeeded", { count: needed })}</p> : null}
    </>
  );
}

function Instruction({ guidance }: { readonly guidance: Guidance }) {
  const { t } = useApp();
  const [title, how] = instructionWords(guidance, t);
  return (
    <>
      <p className="guidance-title" aria-live="polite">
        {title}
      </p>
      {how ? <p>{how}</p> : null}
    </>
  );
}

/** The instruction and how to do it. */
export function instructionWords(
  { advice }: Pick<Guidance, "advice">,
  t: Translate,
): readonly [title: string, how?: string] {
  const { photo } = advice;
  switch (advice.code) {
    case "first-photo":
      return [t("guide.first"), t("guide.firstHow")];
    case "next-photo":
      return photo
        ? [
            t("guide.next", {
              place: t(`guide.${photo.place}`),
              edge: t(`guide.${photo.nearEdge}`),
            }),
            t(photo.turned ? "guide.nextTurned" : "guide.nextUpright", { angle: photo.tiltDeg }),
          ]
        : [t("guide.check")];
    case "check-photos":
      return [t("guide.check")];
    case "good-enough":
      return [t("guide.good")];
    case "good-enough-corner":
      return [
        t("guide.goodCorner"),
        t("guide.goodCornerHow", { corners: listed(advice.corners, t) }),
      ];
    case "enough-photos":
      return [t("guide.enough")];
  }
}

function listed(corners: Guidance["advice"]["corners"], t: Translate): string {
  const words = corners.map((corner) => t(`guide.${corner}` satisfies TextKey));
  const last = words[words.length - 1];
  return words.length < 2
    ? (last ?? "")
    : t("guide.and", { first: words.slice(0, -1).join(", "), last });
}

/** How far the sheet photos are: number, corners, millimetres. */
export function Reached({ guidance, looking, soFar }: PresentGuidance) {
  const { t, showUncertainty, units, locale } = useApp();
  const { atLeast, expectedMm } = guidance;
  const count = looking ? soFar.found : guidance.counted;
  const { missingCorners } = looking ? soFar : guidance;
  const rows: [string, string][] = [
    [t("guide.photos"), t("guide.photosOf", { count, least: atLeast })],
    [t("guide.corners"), t("guide.cornersOf", { count: 4 - missingCorners.length })],
    [
      t("guide.reached", { far: farWords(units, locale) }),
      looking && count >= fewestPhotos
        ? t("status.cameraRunning")
        : expectedMm === null || looking
          ? t("guide.reachedLater")
          : t("guide.reachedOf", {
              value: showUncertainty(expectedMm, "length", 2),
              limit: showUncertainty(goodEnoughMm, "length", 2),
            }),
    ],
  ];
  return <Facts rows={rows} />;
}

/** Said of single photos though it does no harm to the lens. */
const worthSaying: ReadonlySet<string> = new Set(["photo-alike", "sheet-partly-seen"]);

/** What is wrong with single photos, each thing once. */
export function photoRemarks({ remarks }: Pick<Guidance, "remarks">): Guidance["remarks"] {
  return remarks.filter(
    (remark, i) =>
      remark.about !== undefined &&
      (remark.severity !== "info" || worthSaying.has(remark.code)) &&
      remarks.findIndex((r) => r.code === remark.code && r.about === remark.about) === i,
  );
}
