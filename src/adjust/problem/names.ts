import type { Source } from "./problem.ts";

/**
 * Keys of the problem in words for people. Keys are for the program ("1@B", "31 until bay-03.jpg",
 * "target:camera board", "plate:front left") and stand in no sentence as they are.
 */

/** The number printed on a board. */
export const boardNumber = (key: string): string => /^\d+/.exec(key)?.[0] ?? key;

/** "board 7", "board 7 in position B", or the sheet. */
export const boardName = (key: string): string => {
  const [, number, position] = /^(\d+)(?:@([^@]*))?/.exec(key) ?? [];
  if (number === undefined) return key === "sheet" ? "the sheet" : `"${key}"`;
  return position ? `board ${number} (${position.replace(/ until .*$/, "")})` : `board ${number}`;
};

/** "photo a.jpg shows", "photos a.jpg, b.jpg show". */
export const photosShow = (photos: readonly string[]): string =>
  photos.length === 1 ? `photo ${photos[0]} shows` : `photos ${photos.join(", ")} show`;

/** What a statement of this kind says, for "… does not fit". */
export const sourceWords: Readonly<Record<Source, string>> = {
  image: "What the photos show",
  lens: "The lens as the camera step left it",
  "focus and stabilisation": "How far focus and stabilisation move the picture",
  "hand motion": "How fast the hand moved",
  "print scale": "The size of the prints as the ruler gave it",
  "board flatness": "The flatness of the boards",
  "length reference": "The measured length",
  floor: "The floor as level and even as it is stated",
  "wheel plates": "How the wheel plates sit",
  "target offset": "What was taught of the target",
  other: "What the job states",
};

/** The last part of a key, which is the name that a person gave: "target:camera board". */
export const givenName = (key: string): string => key.slice(key.lastIndexOf(":") + 1);
