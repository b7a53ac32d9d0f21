import { cornerAsShown, type FrameCorner } from "./coverage.ts";
import type { FramePlace, ImaginedPhoto, NearEdge } from "./photo-catalogue.ts";

/** Every kind of advice; a language has a sentence for each. */
export const adviceCodes = [
  "first-photo",
  "next-photo",
  "check-photos",
  "good-enough",
  "good-enough-corner",
  "enough-photos",
] as const;
export type AdviceCode = (typeof adviceCodes)[number];

/** What to do next, as data; the words stand in the languages of whoever shows it. */
export interface Advice {
  readonly code: AdviceCode;
  /** The photo asked for, in words of the picture as the phone shows it; null where none is. */
  readonly photo: ImaginedPhoto | null;
  /** Corners of the picture, as the phone shows it, that no photo covers. */
  readonly corners: readonly FrameCorner[];
}

const edgesRound: readonly NearEdge[] = ["left", "top", "right", "bottom"];
/** An imagined photo in words of the turned picture. */
export const photoAsShown = (photo: ImaginedPhoto, turns: number): ImaginedPhoto => ({
  place: photo.place === "middle" ? "middle" : cornerAsShown(photo.place, turns),
  nearEdge: edgesRound[(edgesRound.indexOf(photo.nearEdge) + turns) % edgesRound.length],
  turned: turns % 2 === 1 ? !photo.turned : photo.turned,
  tiltDeg: photo.tiltDeg,
});

const placeWords = (place: FramePlace): string => `the ${place} of the picture`;

/** One or two sentences in English. */
export const adviceText = ({ code, photo, corners }: Advice): string => {
  switch (code) {
    case "first-photo":
      return "First photo: lay the sheet flat in even light and take it straight on, whole, in the middle of the picture.";
    case "next-photo":
      return photo
        ? `Next photo: the sheet ${photo.turned ? "on its side" : "upright"} in ${placeWords(photo.place)}, at a slant of about ${photo.tiltDeg} degrees, its ${photo.nearEdge} edge nearest to the phone.`
        : "";
    case "check-photos":
      return "These photos do not give a lens together: put right what is said about them.";
    case "good-enough":
      return "Good enough: no more photos are needed.";
    case "good-enough-corner":
      return `Good enough. One more photo with the sheet in ${corners.map(placeWords).join(" and ")} would make the lens sure there as well.`;
    case "enough-photos":
      return "More photos would help little; the camera step can end here.";
  }
};
