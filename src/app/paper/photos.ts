import type { Result } from "../../job/result/result.ts";
import { turnedShares } from "../../photo/exif/turn-of.ts";
import type { Block, PaperPhoto } from "../../record/paper/paper.ts";
import type { RecordedPhoto, Revision } from "../../record/revision.ts";
import { type PaperWords, whenIn } from "./paper-words.ts";

/** Photos with their times, then small pictures with what was found in them. */
export function photoBlocks(revision: Revision, words: PaperWords): Block[] {
  const { t } = words;
  const { photos, result } = revision.content;
  if (photos.length === 0) return [];
  return [
    { kind: "heading", level: 1, words: t("record.photoList") },
    { kind: "text", words: t("record.photoNote"), small: true },
    {
      kind: "table",
      head: [
        t("record.column.photo"),
        t("record.column.taken"),
        t("record.column.added"),
        t("record.column.use"),
        t("record.column.hash"),
      ],
      rows: photos.map((photo) => [
        photo.name,
        takenWords(photo),
        whenIn(photo.addedAt, revision.timeZone, words.locale, { short: true }),
        purposeWords(photo, result, words),
        photo.sha256.slice(0, 16),
      ]),
      widths: [26, 30, 34, 26, 24],
    },
    { kind: "heading", level: 1, words: t("paper.photos") },
    {
      kind: "photos",
      photos: photos
        .filter(({ purpose }) => purpose !== "sheet")
        .map((photo) => paperPhoto(photo, result, words)),
    },
  ];
}

/** The camera's own clock as it wrote it; no conversion that could be wrong. */
const takenWords = ({ takenAt, zone }: RecordedPhoto): string =>
  takenAt === null ? "–" : `${takenAt.slice(0, 19).replace("T", " ")}${zone ? ` ${zone}` : ""}`;

function purposeWords(photo: RecordedPhoto, result: Result | null, { t }: PaperWords): string {
  const after = photo.purpose === "boards" && photo.epoch === "after";
  const purpose = t(`record.use.${after ? "after" : photo.purpose}`);
  const used = result?.photos.find(({ name }) => name === photo.name)?.used ?? true;
  return photo.purpose === "boards" && !used ? t("record.use.unused", { use: purpose }) : purpose;
}

function paperPhoto(photo: RecordedPhoto, result: Result | null, words: PaperWords): PaperPhoto {
  const found = result?.photos.find(({ name }) => name === photo.name);
  const isBay = photo.purpose === "boards";
  const boards = isBay ? (found?.boards ?? []) : [];
  const ids = boards.map(({ id }) => id).sort((a, b) => a - b);
  return {
    name: photo.name,
    picture: photo.sha256,
    lines: [
      takenWords(photo),
      isBay
        ? `${words.t("paper.boards")}: ${ids.join(", ") || "–"}`
        : purposeWords(photo, result, words),
    ],
    outlines: boards.map(({ id, outline }) => ({
      word: String(id),
      corners: turnedShares(
        outline.map((value, i) => value / (i % 2 === 0 ? found!.width : found!.height)),
        photo.orientation,
      ),
    })),
  };
}
