import { isSheetMarkerId, sheetFirstMarkerId, sheetMarkerCount } from "../boards/sheet.ts";
import { type MarkerLibrary, openCvTagFinder } from "./opencv-tag-finder.ts";
import type { TagFinder } from "./tag-finder.ts";

interface CodeTable {
  rowRange(from: number, to: number): CodeTable;
}
interface Dictionary {
  bytesList: CodeTable;
}
interface DictionaryLibrary {
  getPredefinedDictionary(id: unknown): Dictionary;
}

/**
 * Finds the camera sheet's markers with opencv.js and nothing else. The library compares a square
 * with one code after the other until one fits: the sheet's markers are the last of the family's
 * 587 and its black squares fit none, so that reading them against the sheet's 35 codes alone takes
 * an eighth of the time. Codes of the family differ in at least 11 bits, so no other tag of the
 * family can be taken for one of the sheet.
 */
export function sheetTagFinder(cv: MarkerLibrary): TagFinder {
  const library = cv as unknown as DictionaryLibrary;
  const sheetOnly = Object.create(cv, {
    getPredefinedDictionary: {
      value: (id: unknown): Dictionary => {
        const dictionary = library.getPredefinedDictionary(id);
        const end = sheetFirstMarkerId + sheetMarkerCount;
        dictionary.bytesList = dictionary.bytesList.rowRange(sheetFirstMarkerId, end);
        return dictionary;
      },
    },
  });
  const finder = openCvTagFinder(sheetOnly);
  return {
    find(image, search) {
      const { tags, otherQuads } = finder.find(image, search);
      const numbered = tags.map((tag) => ({ ...tag, id: tag.id + sheetFirstMarkerId }));
      return { tags: numbered.filter((tag) => isSheetMarkerId(tag.id)), otherQuads };
    },
  };
}
