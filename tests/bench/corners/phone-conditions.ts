import type { Development } from "./develop.ts";
import type { Optics } from "./optics.ts";

/** One thing that a phone does to a picture, mild or strong, or several at once. */
export interface PhoneEffect {
  readonly name: string;
  readonly optics: Optics;
  readonly development: Development;
  /** Relative change of the light across the picture's width. */
  readonly lightSlope?: number;
}

const lens: Optics = { blurPx: 0.6 };
const plain: Development = { tone: "sRGB", noise: 2 };
const direction = 0.6;

const seen = (name: string, optics: Partial<Optics>): PhoneEffect => ({
  name,
  optics: { ...lens, ...optics },
  development: plain,
});
const made = (name: string, development: Partial<Development>): PhoneEffect => ({
  name,
  optics: lens,
  development: { ...plain, ...development },
});

/**
 * Sizes are those of phone pictures of 12 megapixels (common practice, no source): a disc of 1.5 px
 * is a board at 1.2 m on a lens of 5.6 mm f/1.8 focused at 2 m; 4 px of motion is a hand that turns a
 * degree a second in 1/15 s; colours are put right to about a pixel at the corners of the frame.
 */
export const phoneEffects: readonly PhoneEffect[] = [
  seen("plain", {}),
  seen("defocus 1.5", { defocusPx: 1.5, farDefocusPx: -0.8 }),
  seen("defocus 3", { defocusPx: 3, farDefocusPx: -1.5 }),
  seen("motion 2", { motion: { lengthPx: 2, angle: direction } }),
  seen("motion 4", { motion: { lengthPx: 4, angle: direction } }),
  seen("disc+motion", {
    defocusPx: -1.5,
    farDefocusPx: -4,
    motion: { lengthPx: 3, angle: direction },
  }),
  seen("colour 0.4", { colour: { red: 0.4, blue: -0.3 } }),
  seen("colour 0.8", { colour: { red: 0.8, blue: -0.6 } }),
  { ...seen("light 50%", {}), lightSlope: 0.5 },
  made("local tone", { localTone: { radiusPx: 24, power: 0.15 } }),
  made("strong tone", { tone: "S-curve", localTone: { radiusPx: 14, power: 0.3 } }),
  made("denoise", { noise: 4, denoise: { radiusPx: 1, range: 10 } }),
  made("denoise hard", { noise: 8, denoise: { radiusPx: 2, range: 24 } }),
  made("halo", { halo: { amount: 0.6, radiusPx: 1.5, limit: 40 } }),
  made("wide halo", { halo: { amount: 0.5, radiusPx: 4, limit: 25 } }),
  made("jpeg 98", { jpeg: 98 }),
  made("jpeg 85", { jpeg: 85 }),
  made("jpeg 60", { jpeg: 60 }),
  {
    name: "phone",
    optics: {
      blurPx: 0.6,
      defocusPx: 1,
      farDefocusPx: -1,
      motion: { lengthPx: 1.5, angle: direction },
      colour: { red: 0.3, blue: -0.2 },
    },
    development: {
      tone: "S-curve",
      noise: 4,
      denoise: { radiusPx: 1, range: 10 },
      localTone: { radiusPx: 24, power: 0.15 },
      halo: { amount: 0.5, radiusPx: 1.5, limit: 30 },
      jpeg: 92,
    },
    lightSlope: 0.3,
  },
];
