/** What a simulated shop's photos show, from grey pixels through the product's own finder. */
import type { PhotoOutcome } from "../../../src/detect/findings/findings.ts";
import { examinePhoto } from "../../../src/job/run/examine.ts";
import type { Lens } from "../../../src/lens/lens.ts";
import { Chance, type Rigid } from "../../tools/phone/maths.ts";
import { type GreyPhoto, takePhoto } from "../../tools/phone/photo.ts";
import { type Phone, type Shot, visibleBoards } from "../../tools/phone/shots.ts";
import { exifOf } from "../phone/exif.ts";
import type { Finders } from "../phone/pictures.ts";
import type { ShopViews } from "./judge-shop.ts";
import type { Shop } from "./shop.ts";

const one: Rigid = { q: [1, 0, 0, 0], p: [0, 0, 0] };

/** The same shop with a phone that stores smaller pictures: everything in pixels shrinks. */
export const withSmallerPhotos = (shop: Shop, share: number): Shop => {
  const smaller = (shot: Shot): Shot => ({
    ...shot,
    phone: smallerPhone(shot.phone, share),
    state: { ...shot.state, rest: [share * shot.state.rest[0], share * shot.state.rest[1]] },
  });
  return {
    ...shop,
    rounds: shop.rounds.map((round) => ({
      ...round,
      sheet: round.sheet.map(smaller),
      photos: round.photos.map(smaller),
    })),
  };
};

const smallerPhone = (phone: Phone, share: number): Phone => {
  const { lens } = phone;
  const centre = (at: number): number => share * (at + 0.5) - 0.5;
  return {
    ...phone,
    restShiftSdPx: share * phone.restShiftSdPx,
    lens: {
      ...lens,
      width: 8 * Math.round((share * lens.width) / 8),
      height: 8 * Math.round((share * lens.height) / 8),
      focalPx: share * lens.focalPx,
      centre: [centre(lens.centre[0]), centre(lens.centre[1])],
      ripplePx: share * lens.ripplePx,
      prismPx: [share * lens.prismPx[0], share * lens.prismPx[1]],
      redPx: share * lens.redPx,
      bluePx: share * lens.bluePx,
    },
  };
};

/** Photo `index` of a round's boards or of its sheet, in grey pixels. */
export const shopPicture = (
  { seed, bay, rounds }: Shop,
  round: number,
  what: keyof Finders,
  index: number,
): { readonly shot: Shot; readonly photo: GreyPhoto } => {
  // Rounds of one phone share its sheet photos.
  const stream = what === "sheet" ? (round === 2 ? 1100 : 1000) : 1200 + 100 * round;
  const shot = rounds[round][what === "sheet" ? "sheet" : "photos"][index];
  const prints =
    what === "sheet"
      ? [{ print: bay.sheet, worldFromBoard: one }]
      : visibleBoards(bay, shot).map((board) => ({
          print: board,
          worldFromBoard: board.worldFromBoard,
        }));
  return { shot, photo: takePhoto(shot, prints, new Chance(seed, stream + index)) };
};

export const pixelShop = (shop: Shop, finders: Finders): ShopViews => {
  const examined = (
    round: number,
    what: keyof Finders,
    index: number,
    name: string,
    lens: Lens | null,
  ): PhotoOutcome => {
    const { shot, photo } = shopPicture(shop, round, what, index);
    const exif = { ...exifOf(shot), model: "Phone" };
    return examinePhoto(
      { ok: true, luma: photo, exif, remarks: [], format: "jpeg" },
      finders[what],
      { name, what, lens },
      0,
      () => 0,
    );
  };
  return {
    sheet: (at) => shop.rounds[at].sheet.map(({ name }, i) => examined(at, "sheet", i, name, null)),
    photos: (at, camera) =>
      shop.rounds[at].photos.map(({ name }, i) =>
        examined(at, "boards", i, `${shop.rounds[at].name}/${name}`, camera.profile.lens),
      ),
  };
};
