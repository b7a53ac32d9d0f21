import type { AcceptanceResult } from "./result.ts";

const mm = (value: number, decimals = 2): string => `${value.toFixed(decimals)} mm`;
const words = { pass: "PASS", fail: "FAIL", "not shown": "NOT SHOWN" } as const;

/** The result as plain text for a terminal. */
export const acceptanceText = (result: AcceptanceResult): string => {
  const { repeatability, reproducibility } = result;
  return [
    `${result.title}${result.invented ? " (INVENTED DATA)" : ""}`,
    `${words[result.outcome]}: lengths against limits of ${result.limits.fixedMm} mm + ${result.limits.perMetreMm} mm per metre`,
    "",
    "boards      reference        U (k=2)    errors by round                limit     result",
    ...result.lengths.map(lengthLine),
    "",
    `Wheel plates: ${result.note.plates || "not named"}`,
    repeatability
      ? `Repeatability ${mm(repeatability.sd)} (${mm(repeatability.lower)} to ${mm(repeatability.upper)}); a job states ${mm(repeatability.statedMm)}`
      : "Repeatability: not tested",
    ...(reproducibility
      ? [
          `Reproducibility ${mm(reproducibility.sd)} (${mm(reproducibility.lower)} to ${mm(reproducibility.upper)}), ${reproducibility.groups} groups`,
        ]
      : []),
    ...remarkLines("Held back by:", result.heldBack),
    ...remarkLines(
      "Remarks:",
      result.remarks.filter(
        ({ code, severity }) =>
          severity !== "info" && !result.heldBack.some((held) => held.code === code),
      ),
    ),
    "",
    "The maker's procedure and local rules govern. Plumbshot measures; it does not certify.",
  ].join("\n");
};

const lengthLine = ({
  from,
  to,
  referenceMm,
  referenceExpandedMm,
  errors,
  limitMm,
}: AcceptanceResult["lengths"][number]): string =>
  [
    `${from} - ${to}`.padEnd(10),
    mm(referenceMm, 1).padStart(12),
    mm(referenceExpandedMm).padStart(12),
    `   ${errors.map(({ errorMm }) => (errorMm < 0 ? "" : "+") + errorMm.toFixed(2)).join("  ")}`.padEnd(
      33,
    ),
    mm(limitMm).padStart(9),
    `  ${[...new Set(errors.map(({ verdict }) => verdict))].join(" / ")}`,
  ].join(" ");

const remarkLines = (title: string, remarks: AcceptanceResult["remarks"]): string[] =>
  remarks.length === 0
    ? []
    : ["", title, ...remarks.map(({ message, remedy }) => `- ${message} ${remedy}`.trimEnd())];
