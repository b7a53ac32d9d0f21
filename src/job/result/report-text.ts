import { shownProbability } from "../../say/probability.ts";
import { wrapText } from "../../say/wrap-text.ts";
import { doubtfulVerdict, isHeldBack, outcomeByNumbers } from "./outcome.ts";
import { firstRemarks } from "./rank.ts";
import type { CheckResult, Result } from "./result.ts";

const unitWord = (unit: CheckResult["unit"]): string => (unit === "mm" ? "mm" : "deg");

/** Decimals that show the uncertainty with two figures, at least one. */
const decimalsFor = (uncertainty: number): number =>
  Number.isFinite(uncertainty) && uncertainty > 0
    ? Math.min(4, Math.max(1, 1 - Math.floor(Math.log10(uncertainty))))
    : 3;

/** A value with the decimals that its uncertainty (same unit) deserves. */
export const formatValue = (value: number, uncertainty: number): string =>
  value.toFixed(decimalsFor(uncertainty)).replace(/^-(0\.?0*)$/, "$1");

const headline = (result: Result): string => {
  const total = result.checks.length;
  const count = (verdict: CheckResult["verdict"]): number =>
    result.checks.filter((check) => (check.byNumber ?? check.verdict) === verdict).length;
  if (result.outcome === "all meet") return `All ${total} checks meet.`;
  const parts = [
    count("misses") > 0 ? `${count("misses")} of ${total} checks miss` : "",
    count("not proven") > 0 ? `${count("not proven")} of ${total} not proven` : "",
  ].filter(Boolean);
  if (!isHeldBack(result)) return `${parts.join(", ")}.`;
  return outcomeByNumbers(result) === "all meet"
    ? `Not proven. The numbers of all ${total} checks lie inside, but something stands against them:`
    : `Not proven. By the numbers alone ${parts.join(", ")}, but something stands against them:`;
};

/** Why the verdict is held back, a line for each reason. */
const doubts = ({ heldBack }: Result): string =>
  heldBack
    .map(({ message, remedy }) => wrapText(`- ${message} ${remedy}`, "  ", "    "))
    .join("\n");

/** "camera: Invented One, from saved profile", or every phone with its photos. */
const cameraText = ({ camera, otherCameras = [] }: Result): string =>
  otherCameras.length === 0
    ? `camera: ${camera.make} ${camera.model}, from ${camera.source}`
    : `cameras: ${[camera, ...otherCameras]
        .map(({ phone, source, bayPhotos }) => `${phone}, from ${source} (${bayPhotos} photos)`)
        .join("; ")}`;

const checkLines = (check: CheckResult): string => {
  const places = decimalsFor(check.expandedUncertainty);
  const unit = unitWord(check.unit);
  const number = (x: number): string => x.toFixed(places);
  const says = doubtfulVerdict(check);
  const lines = [
    wrapText(check.label, `${check.verdict.toUpperCase().padEnd(11)} `, " ".repeat(12)),
    `            measured ${formatValue(check.measured, check.expandedUncertainty)} +- ` +
      `${number(check.expandedUncertainty)} ${unit}, required ${check.required} ` +
      `(${limitWords(check)})`,
    wrapText(
      `${check.inWords}; chance of being inside: ${percent(check.probability)}`,
      " ".repeat(12),
    ),
    ...(says ? [`            doubtful; the number alone says: ${says}`] : []),
  ];
  if (check.advice) lines.push(wrapText(check.advice, " ".repeat(12)));
  return lines.join("\n");
};

const limitWords = ({ lower, upper }: CheckResult): string => {
  const tidy = (x: number): string => String(Number(x.toFixed(3)));
  if (lower === null && upper === null) return "no limit";
  if (lower === null) return `at most ${tidy(upper!)}`;
  return upper === null ? `at least ${tidy(lower)}` : `${tidy(lower)} to ${tidy(upper)}`;
};

const percent = (probability: number): string => {
  const { bound, share } = shownProbability(probability);
  return `${bound ? `${bound} ` : ""}${(100 * share).toFixed(1)} %`;
};

/** What else is to be said, the first ones or all; nothing where there is nothing. */
const noteLines = (result: Result, all: boolean): string => {
  const said = new Set(result.heldBack.map(({ message }) => message));
  const remarks = result.remarks.filter(
    ({ severity, message }) => severity !== "info" && !said.has(message),
  );
  if (remarks.length === 0) return "";
  const shown = all ? remarks : remarks.slice(0, firstRemarks);
  const more = remarks.length - shown.length;
  return [
    "Please note",
    ...shown.map((remark) =>
      wrapText(`- ${remark.message}${costWords(remark)} ${remark.remedy}`, "  ", "    "),
    ),
    ...(more > 0
      ? [wrapText(`and ${more} more, which cost less (--notes prints all).`, "  ")]
      : []),
  ].join("\n");
};

const costWords = ({ cost }: Result["remarks"][number]): string =>
  cost
    ? ` It moves "${cost.label}" by ${cost.amount.toFixed(cost.unit === "mm" ? 1 : 2)} ${unitWord(cost.unit)}.`
    : "";

export interface ReportOptions {
  /** Print all notes, not only the first ones. */
  readonly allNotes?: boolean;
}

/** The result as plain text: verdict first, then what to move, then the numbers, then doubts. */
export const reportText = (result: Result, options: ReportOptions = {}): string => {
  const sections: string[] = [];
  const note = result.invented ? " (invented demonstration)" : "";
  sections.push(wrapText(`${result.title}${note}: ${headline(result)}`));
  if (result.heldBack.length > 0) sections.push(doubts(result));
  if (result.moves.length > 0)
    sections.push(
      [
        isHeldBack(result)
          ? "Doubtful, put right first what stands against the numbers. By them, in this order:"
          : "To mend it, in this order:",
        ...result.moves.map((move) => wrapText(`${move.order}. ${move.text}`, "  ", "     ")),
      ].join("\n"),
    );
  sections.push(result.checks.map(checkLines).join("\n\n"));
  sections.push(
    [
      "The car",
      ...result.vehicle.map((line) => {
        const u = line.expandedUncertainty.toFixed(decimalsFor(line.expandedUncertainty));
        return wrapText(`${line.label}: ${line.inWords}, +- ${u} ${line.unit}`, "  ", "    ");
      }),
    ].join("\n"),
  );
  const readings = (result.crossChecks ?? []).map(({ check, sentence }) => {
    const label = result.checks.find(({ id }) => id === check)?.label ?? check;
    return wrapText(`${label}: ${sentence}`);
  });
  if (readings.length > 0) sections.push(readings.join("\n"));
  if (result.stability) sections.push(wrapText(result.stability.sentence));
  const { network } = result;
  sections.push(
    wrapText(
      `Based on ${network.photos} photos and ${network.boards} boards; residual ` +
        `${network.residualPx.toFixed(3)} px, variance factor ${network.varianceFactor.toFixed(2)}; ` +
        `${cameraText(result)}. All +- are 95 %.`,
    ),
  );
  const notes = noteLines(result, options.allNotes ?? false);
  if (notes !== "") sections.push(notes);
  sections.push(
    wrapText(
      "The vehicle maker's procedure and local rules govern. Plumbshot measures; it does not " +
        "certify. Wheels chocked; nobody under a lifted car; a trained person decides.",
    ),
  );
  return sections.join("\n\n");
};
