import type { LeafletWords } from "../building/words.ts";

export const guideEn: LeafletWords = {
  title: "Field guide",
  intro:
    "The day's work on two pages, then what to do when something is wrong. Stages of the app are in " +
    "capitals. Figures here are common practice, without a source, unless one is named.",
  caution:
    "The vehicle maker's procedure and local rules govern. Wheels chocked; nobody under a lifted car; " +
    "mind exhaust gas; do not look into lasers. A trained, where required licensed, person decides.",
  page: (page, pages) => `Plumbshot, field guide, page ${page} of ${pages}`,
  sections: [
    {
      title: "Once for the shop",
      paragraphs: [
        "Print the kit at 100 % on matt paper; measure both bars on a page with a steel rule and type the " +
          "readings in (BOARDS). Glue the boards flat. Build wheel plates, floor boards, stand boards and " +
          "a length bar (How to build it), and measure the plates' offset and the bar's length.",
        "Once for each phone: 12 photos of the camera sheet, filling the picture, from the front and " +
          "tilted to all sides, the phone turned by a quarter in some (CAMERA). One lens, no zoom, JPEG, " +
          "full size.",
        "Once for each target: teach where its middle is against the boards on its stand, by photos with " +
          "pointer boards or with a rule (SHEET AND TARGET).",
        "In Settings: name of shop and technician, a key for signing, and how to back up.",
      ],
    },
    {
      title: "1  Car and bay",
      paragraphs: [
        "CAR: plate, what was done, the procedure's right variant and revision. Scan before the work, " +
          "saved. Tyres, load, ride height, parts, doors, battery maintainer: tick what was done, say why " +
          "something does not apply.",
        "BAY: floor level where car and target stand, free space, even light, nothing that looks like a " +
          "target behind the target. Wheels straight, brake as the procedure says, chocks.",
        "SHEET AND TARGET: copy the maker's numbers into the drawing, each with its tolerance and the " +
          "page it stands on. Choose the target. Without a tolerance there is no verdict.",
      ],
    },
    {
      title: "2  Boards out",
      drawing: "around",
      paragraphs: [
        "Plates on the four wheels as named on the boards, feet on the rim's edge. Six or more floor " +
          "boards, both sides, from the car to the target. Two or more boards on the stand, screwed " +
          "on. The length bar on the floor where many photos see it. From here on nobody touches " +
          "car, boards or stand until the photos are taken.",
      ],
    },
    {
      title: "3  Photos",
      paragraphs: [
        "A dozen from all around, at hip height and higher, three or more boards in each, every board in " +
          "three or more photos, neighbours sharing boards. Stand still for each. Same phone, same lens, " +
          "no zoom, no flash on wet or glossy boards.",
        "PHOTOS shows what was found in each photo at once: take another where a board is missing, " +
          "before anything is moved. If the sheet counts from the thrust line: roll the car half a " +
          "wheel turn, take a second round as position 2.",
      ],
    },
    {
      title: "4  Verdict, move, again",
      paragraphs: [
        "PLACEMENT: meets, misses or not proven for each check, with the interval. Not proven is no " +
          "verdict: the page says what would prove it. If it says which way to move, move the stand, tap " +
          "'The stand was moved', and photograph the stand's boards again with boards that stayed.",
        "Compare one distance with a tape and type it in: an independent reading finds what photos cannot.",
      ],
    },
    {
      title: "5  The run, after, the record",
      paragraphs: [
        "Run the procedure on the scan tool. Everybody keeps off car and stand. Afterwards three or more " +
          "photos with wheel and stand boards, 'after the run': they prove that nothing moved.",
        "RECORD: scan after the work, road test, notes, attached reports. Close the record: open points " +
          "are listed first. The PDF is for the customer; photos in it are covered copies that you looked at. " +
          "Back up the phone once or twice a week.",
        "Take plates and cords off before the car moves.",
      ],
    },
    {
      title: "Compared with plumb bob, string and tape",
      paragraphs: [
        "By hand: hub marks by plumb bob (1.5 mm), string over both axle middles, distance by tape (2 mm a " +
          "reading), squared by equal diagonals to a 1.2 m bar, target 2.5 m ahead. SIMULATED with these " +
          "standard deviations, which are common practice without a source (tests/tools/by-hand.ts).",
        "Plumbshot: what it states for the sample job of rendered photos, 16 photos, target 2.5 m ahead " +
          "(npm run demo). No comparison with a tape on a real car has been made.",
      ],
      partsTitle: "95 of 100 errors are smaller than",
      parts: [
        ["", "distance ahead, by hand / Plumbshot", "4.4 mm / 1.7 mm"],
        ["", "to the side of the centreline, by hand / Plumbshot", "5.7 mm / 1.6 mm"],
        ["", "turn of the target, by hand / Plumbshot", "0.43 / 0.03 degrees"],
        ["", "time by hand (common practice, two people for the tape)", "30 to 60 minutes"],
        ["", "time with Plumbshot on a real car", "not measured yet"],
      ],
    },
    {
      title: "When something is wrong",
      newPage: true,
      paragraphs: [],
      pairs: [
        [
          "A board is not found",
          "Nearer, or less slanted: its cells need 4 pixels. Sun stripe, reflection or deep shadow on it? " +
            "Turn it or shade it. Dirt or tape in the white margin? Clean it, print it again.",
        ],
        [
          "'Photo was shrunk' or 'taken with another camera'",
          "It came through a messenger or an editor, or the phone changed to its wide lens. Take it with the " +
            "phone's own camera at 1x and choose the file itself.",
        ],
        [
          "'Not connected'",
          "Some photos share no boards with the others. Take two photos that show boards of both groups.",
        ],
        [
          "'The photos contradict the lens'",
          "Another phone, another lens or a zoom than on the sheet photos; or a phone case in front of the " +
            "lens. Photograph the camera sheet again with the lens that you use.",
        ],
        [
          "'A board has moved' or 'two places'",
          "It was kicked or slipped while the photos were taken, or one number was printed twice and both " +
            "lie about. Put it right and take the photos of that part again; put older ones aside.",
        ],
        [
          "'A plate sits badly'",
          "A foot on a valve, a weight or a curb scratch; a cord that pulls one side. Set it again and take " +
            "the photos of that wheel again.",
        ],
        [
          "'Lengths disagree', all distances too long or short",
          "Printer not at 100 %, bar reading mistyped, or boards of another printing. Measure both bars of a " +
            "board that lies there; measure the length bar again.",
        ],
        [
          "Not proven although it looks right",
          "The interval is wider than the room in the tolerance. In this order: more photos of the stand from " +
            "both sides; a longer measured length; a second car position for the thrust line; better plates.",
        ],
        [
          "The tape says something else",
          "Do not average. Which point did the tape start from: axle, bumper, sensor? Is the height from the " +
            "floor under the car or under the target? Measure the tape's way again, then photograph again.",
        ],
        [
          "It says misses, and moving does not help",
          "Look at the signs: left is the vehicle's left, ahead is away from the car's front. Check that the " +
            "right target and the right step of the sheet are chosen.",
        ],
        [
          "Battery empty, page gone, phone rang",
          "Open the app again: everything that was shown as stored is there. A photo that the phone lost is " +
            "asked for.",
        ],
        [
          "Storage nearly full",
          "Back up everything (Settings), then delete old jobs for good. Closed records need their photos.",
        ],
        [
          "A customer asks after months",
          "Closed records, search by plate or name. The hash on the paper must be the one on the screen; " +
            "'Verify an archive' names whatever was changed.",
        ],
      ],
    },
  ],
};
