import type { en } from "./english.ts";

/** Every text of the app has one key; English is complete by definition. */
export type TextKey = keyof typeof en;
export type Texts = Readonly<Record<TextKey, string>>;

/** The two sentences of a remark: what is wrong, what to do. */
export type RemarkPair = readonly [message: string, remedy: string];
