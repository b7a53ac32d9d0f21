/** Sizes of type on paper. */
import type { TextStyle } from "./ink.ts";

export const body: TextStyle = { sizePt: 9 };
export const small: TextStyle = { sizePt: 7.5 };
const leading = 1.32;
const mmPerPoint = 25.4 / 72;
export const lineHeight = ({ sizePt }: TextStyle): number => sizePt * leading * mmPerPoint;
export const ascent = ({ sizePt }: TextStyle): number => sizePt * 0.8 * mmPerPoint;
