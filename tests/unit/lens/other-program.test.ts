/** Photos that went through an editor, told by the EXIF tag Software of the job's own photos. */
import { describe, expect, test } from "vitest";
import { otherProgramRemarks } from "../../../src/lens/other-program.ts";
import { inventedExif } from "../calibrate/simulated-phone.ts";

/** Photos of one phone with what their Software tag says. */
const photos = (...programs: (string | null)[]) =>
  programs.map((software, at) => ({ name: `p${at}.jpg`, exif: { ...inventedExif(), software } }));
const named = (...programs: (string | null)[]) =>
  otherProgramRemarks(photos(...programs)).map(({ about }) => about);
const camera = "Bay One 1.0";

describe("photos written by another program", () => {
  test("the one that an editor saved is named, with both programs", () => {
    const [remark, ...others] = otherProgramRemarks(
      photos(camera, camera, "Invented Editor 3", camera, camera),
    );
    expect(others).toEqual([]);
    expect(remark).toMatchObject({ code: "photo-other-program", about: "p2.jpg" });
    expect(remark.message).toContain('"Invented Editor 3"');
    expect(remark.message).toContain(`"${camera}"`);
  });

  test("a tag that was taken off, or put on where the camera writes none", () => {
    expect(named(camera, camera, camera, null)).toEqual(["p3.jpg"]);
    expect(named(null, null, null, null, "Invented Editor 3")).toEqual(["p4.jpg"]);
  });

  test("no false alarm: all alike, none at all, too few, or no clear majority", () => {
    expect(named(camera, camera, camera, camera, camera)).toEqual([]);
    expect(named(null, null, null, null)).toEqual([]);
    expect(named(camera, camera, "Invented Editor 3")).toEqual([]);
    // A system update between two visits to the bay.
    expect(named(camera, camera, camera, "Bay One 1.1", "Bay One 1.1", "Bay One 1.1")).toEqual([]);
    expect(named(camera, `${camera} `, camera, camera)).toEqual([]);
  });

  test("phones are compared each with itself; photos without a phone are left to other remarks", () => {
    const second = photos(null, null, null, null).map((photo) => ({
      name: `second ${photo.name}`,
      exif: { ...photo.exif, model: "Bay Two" },
    }));
    expect(otherProgramRemarks([...photos(camera, camera, camera, camera), ...second])).toEqual([]);
    const bare = [{ name: "bare.jpg", exif: null }];
    expect(otherProgramRemarks([...photos(camera, camera, camera, camera), ...bare])).toEqual([]);
  });
});
