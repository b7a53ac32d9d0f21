import type { BuildingWords } from "./words.ts";

export const buildingEn: BuildingWords = {
  title: "How to build it",
  intro:
    "Two wheel plates of our own design, floor boards, stand boards and a length bar, from parts of " +
    "any hardware shop. All sizes in millimetres. They need not be exact: what counts is measured " +
    "afterwards and typed in once. Sizes and tolerances here are common practice, without a source.",
  caution:
    "Chock the wheels; nobody under a lifted car; take plates and cords off before the car moves " +
    "fast. The vehicle maker's procedure and local rules govern.",
  partsTitle: "Parts",
  page: (page, pages) => `Plumbshot, how to build it, page ${page} of ${pages}`,
  labels: {
    fromOutside: "from outside",
    section: "cut through the wheel's middle",
    offset: "offset",
    sameReading: "same reading on all three",
    fromAboveCut: "seen from above, cut",
    straightEdge: "straight edge",
    printedFace: "printed face",
    left: "left reading",
    right: "right reading",
    floorBoard: "Floor board",
    standBoard: "Stand boards",
    target: "target",
    rigid: "rigid with the target, not with its hinge",
    centreToCentre: "measured: centre to centre",
    asLong: "as long as the bay and the van allow, 1 to 3 m",
    front: "front",
    asTheSheet: "as the sheet says",
  },
  sections: [
    {
      title: "Wheel plate with arms",
      drawing: "armPlate",
      paragraphs: [
        "Three arms press their feet on the outer edge of the rim, so that the plate stands parallel " +
          "to the wheel. A cone on the middle screw sits in the hub bore or on the middle of the hub " +
          "cap and centres it. Two elastic cords with hooks around the tyre or through the spokes " +
          "hold it; they must pull evenly.",
        "Set the three feet to the same length (a nut against the arm). Slide them along their slots " +
          "until they stand on the rim's edge, none on a valve or a weight. Glue the board so that " +
          "its centre ticks lie on the middle screw, 120 mm above the panel's lower edge.",
      ],
      parts: [
        ["A", "panel 220 x 270, aluminium composite 3 mm or plywood 9 mm, flat within 0.5 mm", "1"],
        ["B", "arm: square tube 20 x 20, 230 long, slot 9 wide from 130 to 215", "3"],
        ["C", "foot: screw M8 x 80 with rubber cap, two nuts", "3"],
        ["D", "middle screw M8 x 100 with cone, 60 to 20 in diameter, wood or plastic", "1"],
        ["E", "spacer tube 30 long between hub triangle and panel", "4"],
        ["", "elastic cord with two hooks", "2"],
      ],
    },
    {
      title: "Wheel plate with claws",
      drawing: "clawPlate",
      paragraphs: [
        "Three claws slide on a bar and an upright, each with a millimetre scale from the plate's " +
          "middle. Hook them over the rim's edge (not over the tyre), pull them outward and tighten " +
          "the wing nuts at the SAME reading on all three: then the plate is centred, whatever the " +
          "rim. Nothing touches the hub: for wheels with deep or covered hubs.",
        "The bars lie 8 to 10 mm off the rim, on the claws' shoulders, which set the plate parallel. " +
          "Check it: the panel's distance to the rim's edge is the same at four sides within 1 mm.",
      ],
      parts: [
        ["A", "panel 220 x 270 as above", "1"],
        ["F", "bar: aluminium 25 x 25, 470 long; upright 235 long, screwed to it square", "1 + 1"],
        ["G", "slide: U-profile 30 long with wing screw M6", "3"],
        ["H", "claw: flat steel 20 x 3, hook 5, rubber hose over it", "3"],
        ["E", "spacer 30 long", "4"],
        ["", "adhesive steel scale, 0 at the plate's middle", "3"],
      ],
    },
    {
      title: "Measuring a plate's offset, once",
      drawing: "offset",
      paragraphs: [
        "Take the plate as it sits on a wheel. Lay a straight edge across the rim's outer edge beside " +
          "the plate. Measure from it to the printed face at the left and at the right of the board, " +
          "with a depth gauge or a steel rule. The offset is the mean of both. If they differ by more " +
          "than 0.5 mm, the plate is not parallel: set its feet or claws first.",
        "Do this for each plate. One number serves a set whose plates agree within 0.5 mm. Type it into " +
          "the app under Boards, Wheel plates, and keep it as a set of the shop.",
      ],
    },
    {
      title: "Gluing, and flat enough",
      paragraphs: [
        "Print at 100 % on matt paper, measure both bars, then glue: spray glue or wallpaper paste, thin, " +
          "pressed from the middle outward with a soft roller. No bubbles, no film over it.",
        "A straight edge laid over both diagonals shows no gap above 0.5 mm. Cardboard, foam board and " +
          "thin plywood bend with the weather: use aluminium composite, glass, or birch plywood of " +
          "9 mm and more. A board that has got wet is printed again.",
        "Leave the white margin around the pattern free: no tape, clip, screw or writing in it.",
      ],
    },
    {
      title: "Floor boards and stand boards",
      drawing: "floorAndStand",
      paragraphs: [
        "Floor boards lie flat, each on three small rubber feet or directly on the floor. Measure how " +
          "high the printed face is above the floor and type it in (Boards, More). At least six: " +
          "beside the wheels, and up to the target.",
        "Stand boards are screwed to the part that carries the target, two or more, as far apart as " +
          "possible, facing the car. What can be tilted must carry the boards and the target together. " +
          "They stay for good: teach the target once.",
      ],
      parts: [
        ["J", "rubber foot 3 high, three per floor board", "3"],
        ["K", "angle and two screws per stand board, no magnet, no clip", "2"],
      ],
    },
    {
      title: "Length bar",
      drawing: "bar",
      paragraphs: [
        "A stiff bar with boards 51 and 52 at its ends carries the scale into every job. Measure the " +
          "distance from board centre to board centre with a steel tape held by two, or a laser from " +
          "edge to edge; measure three times, on three days, and take the mean. Steel grows by 1.2 mm " +
          "per 100 m and degree: that does not matter here; aluminium twice as much.",
      ],
      parts: [["L", "rectangular aluminium tube 40 x 20, or a straight steel level", "1"]],
    },
    {
      title: "Where the boards go",
      drawing: "around",
      paragraphs: [
        "Boards 1 to 4 on the wheels, as named on the print. Floor boards on both sides, between car " +
          "and target, none hidden behind a wheel or under the bumper. Every board must be seen in " +
          "three photos or more, three boards or more in each photo, neighbouring photos sharing " +
          "boards. Use every number once.",
      ],
    },
  ],
};
