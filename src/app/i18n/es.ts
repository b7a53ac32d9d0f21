import { en } from "./en.ts";
export const es: Record<keyof typeof en, string> = { ...en };
