import type { CertificateSpeech } from "./certificate.ts";
import { certificateWordsEn } from "./words.ts";

/** Digits of a number without rounding it to nothing. */
const digits = (value: number, decimals: number): string =>
  value !== 0 && Math.abs(value) < 0.5 * 10 ** -decimals
    ? value.toPrecision(1)
    : value.toFixed(decimals);

/** English, millimetres and degrees: what the command line speaks. */
export const englishCertificate: CertificateSpeech = {
  language: "en",
  words: certificateWordsEn,
  length: (mm, decimals) => `${digits(mm, decimals)} mm`,
  angle: (deg, decimals) => `${digits(deg, decimals)}°`,
  share: (value) => `${digits(100 * value, 3)} %`,
  date: (iso) => iso.slice(0, 10),
  remark: ({ message, remedy }) => `${message} ${remedy}`.trim(),
};
