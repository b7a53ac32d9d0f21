import type { CertificateSpeech } from "../../acceptance/certificate/certificate.ts";
import { certificateWordsEn } from "../../acceptance/certificate/words.ts";
import type { AppContextValue } from "../context/app-context.ts";
import { certificateWordsEs } from "../i18n/es/certificate.ts";

/** The certificate in the reader's language and units. */
export const certificateSpeech = (app: AppContextValue): CertificateSpeech => {
  const spanish = app.locale.startsWith("es");
  const percent = new Intl.NumberFormat(app.locale, { style: "percent", maximumFractionDigits: 3 });
  return {
    language: spanish ? "es" : "en",
    words: spanish ? certificateWordsEs : certificateWordsEn,
    length: (mm, decimals) => app.showUncertainty(mm, "length", decimals),
    angle: (deg, decimals) => app.showUncertainty(deg, "angle", decimals),
    share: (value) => percent.format(value),
    date: (iso) => iso.slice(0, 10),
    remark: (remark) => {
      const { message, remedy } = app.sayRemark(remark);
      return `${message} ${remedy}`.trim();
    },
  };
};
