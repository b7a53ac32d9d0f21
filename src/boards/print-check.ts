/**
 * The print check: what a ruler says on the two check bars of a printed page decides how large the
 * printed cells really are, and how sure that is. Scale needs care: a print that is 0.5 % too small
 * and goes unnoticed moves a distance of 4 m by 20 mm.
 */
import type { Remark } from "./codes.ts";

export interface BarReading {
  /** Length of the bar as designed, mm (it stands on the page). */
  readonly nominalMm: number;
  /** What the ruler says, mm. */
  readonly readingMm: number;
}

export interface PrintReadings {
  readonly horizontal: BarReading;
  readonly vertical: BarReading;
  /** Standard deviation of one reading, mm. */
  readonly readingSdMm: number;
  /**
   * Relative standard deviation of the ruler itself, common to both readings. Default 0.0005, a
   * steel rule good to 0.15 mm in 300 mm: common practice, no source.
   */
  readonly rulerSd?: number;
}

export interface PrintScale {
  readonly ok: true;
  /** Printed size / designed size, mean of both directions. */
  readonly scale: number;
  /** Cell side as printed, mm. */
  readonly cellMm: number;
  /** Relative standard deviation of `cellMm`. */
  readonly relativeSd: number;
  /** Printed / designed size across and along the page, and the relative deviation of each by itself. */
  readonly width: number;
  readonly height: number;
  readonly widthSd: number;
  readonly heightSd: number;
  /** Relative standard deviation of the ruler, common to both. */
  readonly rulerSd: number;
  /** Warnings, empty when the print is as designed. */
  readonly remarks: readonly Remark[];
}

export type PrintCheck = PrintScale | { readonly ok: false; readonly remark: Remark };

/**
 * Relative standard deviation of a print that nobody checked: printers and papers differ by a few
 * tenths of a percent, "fit to page" by several percent. Common practice, no source.
 */
export const uncheckedPrintSd = 0.005;
/** The same of its width and its height, each on its own. Common practice, no source. */
export const uncheckedStretchSd = 0.002;

const exampleMm = 4000;
const readableScale = 0.1;
const fitToPage = 0.01;
const visibleStretch = 0.001;
const defaultRulerSd = 0.0005;

/**
 * Cell size and its uncertainty from the ruler readings.
 *
 * Each direction gives a scale s = reading / nominal with standard deviation sd / nominal. A print has
 * two scales, and both are used; the mean size combines them with weights 1 / variance, or plainly
 * where they disagree by more than three standard deviations (the print is stretched one way).
 *
 * @param nominalCellMm cell side as designed, mm
 * @returns the printed size, or a remark that says which reading cannot be right and why
 */
export function checkPrint(nominalCellMm: number, readings: PrintReadings): PrintCheck {
  const refusal = refuse(nominalCellMm, readings);
  if (refusal) return { ok: false, remark: refusal };

  const { horizontal, vertical, readingSdMm } = readings;
  const sx = horizontal.readingMm / horizontal.nominalMm;
  const sy = vertical.readingMm / vertical.nominalMm;
  const vx = (readingSdMm / horizontal.nominalMm) ** 2;
  const vy = (readingSdMm / vertical.nominalMm) ** 2;
  const difference = sx - sy;
  const stretched =
    Math.abs(difference) > 3 * Math.sqrt(vx + vy) && Math.abs(difference) > visibleStretch;

  const weight = stretched ? 0.5 : vy / (vx + vy);
  const scale = weight * sx + (1 - weight) * sy;
  const readingVariance = weight ** 2 * vx + (1 - weight) ** 2 * vy;
  const rulerSd = readings.rulerSd ?? defaultRulerSd;
  const relativeSd = Math.sqrt(readingVariance + rulerSd ** 2);

  const remarks: Remark[] = [];
  if (Math.abs(scale - 1) > fitToPage) remarks.push(scaledPrint(scale));
  if (stretched) remarks.push(stretchedPrint(difference));
  return {
    ok: true,
    scale,
    cellMm: nominalCellMm * scale,
    relativeSd,
    width: sx,
    height: sy,
    widthSd: Math.sqrt(vx),
    heightSd: Math.sqrt(vy),
    rulerSd,
    remarks,
  };
}

/**
 * By how much a distance of 4 m would come out too long (+) or too short (-), mm, if the print were
 * taken for exact: boards that are smaller than believed look farther away.
 */
export const errorAtFourMetres = (scale: number): number => exampleMm * (1 / scale - 1);

const mm = (value: number): string =>
  `${value < 9.95 ? value.toFixed(1) : Math.round(value).toString()} mm`;

function scaledPrint(scale: number): Remark {
  const percent = (scale * 100).toFixed(1);
  const error = errorAtFourMetres(scale);
  return {
    code: "print-scaled",
    values: { scale, error: Math.abs(error), way: error > 0 ? "long" : "short" },
    severity: "warning",
    message:
      `The page was printed at ${percent} %, not at 100 %, as when a printer fits it to its paper. ` +
      `Unnoticed, this would make a distance of 4 m ${mm(Math.abs(error))} too ${error > 0 ? "long" : "short"}.`,
    remedy:
      "Best print the boards again at 100 % (actual size). The measured size is used until then; " +
      "it holds only for pages printed in the same way.",
  };
}

function stretchedPrint(difference: number): Remark {
  const percent = Math.abs(difference * 100).toFixed(2);
  const longer = difference > 0 ? "wider" : "taller";
  return {
    code: "print-stretched",
    values: { share: Math.abs(difference), way: longer },
    severity: "info",
    message:
      `The print is ${percent} % ${longer} than it should be, one direction against the other. ` +
      "Both sizes are used as measured.",
    remedy:
      "Read both bars once more. Boards from another printer or another day are a set of their own, with their own readings.",
  };
}

function refuse(nominalCellMm: number, readings: PrintReadings): Remark | null {
  const { horizontal, vertical, readingSdMm, rulerSd } = readings;
  if (!(nominalCellMm > 0 && Number.isFinite(nominalCellMm)))
    return refusal(
      "cell size",
      `The cell size as designed must be above 0 mm, not ${nominalCellMm}.`,
    );
  if (!(readingSdMm > 0 && Number.isFinite(readingSdMm)))
    return refusal("reading uncertainty", "Say how exactly the ruler was read, above 0 mm.");
  if (rulerSd !== undefined && !(rulerSd >= 0 && Number.isFinite(rulerSd)))
    return refusal("ruler", "The ruler's own relative uncertainty must be 0 or more.");
  if (swapped(horizontal, vertical))
    return refusal("both bars", "The two readings seem to be swapped: each fits the other bar.", {
      ...noReading,
      why: "swapped",
    });
  return refuseReading("horizontal bar", horizontal) ?? refuseReading("vertical bar", vertical);
}

function swapped(horizontal: BarReading, vertical: BarReading): boolean {
  const crossed =
    near(horizontal.readingMm, vertical.nominalMm) &&
    near(vertical.readingMm, horizontal.nominalMm);
  const straight =
    near(horizontal.readingMm, horizontal.nominalMm) &&
    near(vertical.readingMm, vertical.nominalMm);
  return crossed && !straight;
}

function refuseReading(bar: string, { nominalMm, readingMm }: BarReading): Remark | null {
  if (!(nominalMm > 0 && Number.isFinite(nominalMm)))
    return refusal(bar, `The designed length of the ${bar} must be above 0 mm, not ${nominalMm}.`);
  if (Number.isFinite(readingMm) && near(readingMm, nominalMm)) return null;
  const said = `The reading ${readingMm} on the ${bar} of ${nominalMm} mm`;
  const found = { bar, reading: readingMm, nominal: nominalMm };
  if (near(readingMm * 25.4, nominalMm))
    return refusal(bar, `${said} looks like inches.`, { ...found, why: "inches" });
  if (near(readingMm * 10, nominalMm))
    return refusal(bar, `${said} looks like centimetres.`, { ...found, why: "centimetres" });
  return refusal(bar, `${said} cannot be right: it is more than 10 % off.`, {
    ...found,
    why: "off",
  });
}

const near = (reading: number, nominal: number): boolean =>
  Math.abs(reading / nominal - 1) <= readableScale;

/** What is wrong with a reading, for sentences in other units and languages. */
interface ReadingFound {
  readonly why: "inches" | "centimetres" | "off" | "swapped" | "input";
  readonly bar: string;
  readonly reading: number;
  readonly nominal: number;
}

const noReading = { bar: "", reading: 0, nominal: 0 };

function refusal(
  about: string,
  message: string,
  { why, bar, reading, nominal }: ReadingFound = { ...noReading, why: "input" },
): Remark {
  return {
    code: "print-reading",
    values: { why, bar, reading, nominal },
    severity: "error",
    message,
    remedy: "Measure from tick to tick and type the length in millimetres.",
    about,
  };
}
