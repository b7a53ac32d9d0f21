/** What the commands write: text that nothing in a file or its name can turn into something else. */
import { plainJson, plainText } from "../say/plain-text.ts";

export const print = (text: string): void => console.log(plainText(text));

/** On standard error. */
export const complain = (text: string): void => console.error(plainText(text));

export const printJson = (value: unknown): void =>
  console.log(plainJson(JSON.stringify(value, null, 2)));
