/** Words that can be tapped, each in two sentences. */
export const glossaryTexts = {
  "term.thrustLine": "thrust line",
  "term.thrustLine.text":
    "The way the rear wheels push the car: from the middle of the rear axle, half-way between the directions of the two rear wheels. A radar is usually set to it, not to the body.",
  "term.thrustAngle": "thrust angle",
  "term.thrustAngle.text":
    "The angle between thrust line and centreline. With more than the maker allows, the wheels are set first.",
  "term.centreline": "centreline",
  "term.centreline.text":
    "The line through the middles of both axles. Forward cameras are often placed by it.",
  "term.axleLine": "axle line",
  "term.axleLine.text":
    "The line through the two wheel centres of an axle. Distances to the target start there unless the page says otherwise.",
  "term.sure": "sure to",
  "term.sure.text":
    "How far the true value may lie from the measured one: in 95 of 100 such measurements it lies within this. It grows with few photos, bad prints and short lengths.",
  "term.notProven": "not proven",
  "term.notProven.text":
    "The value may be right or wrong: the tolerance's edge lies within what is not sure. A better measurement or a place nearer to the middle decides it.",
  "term.tolerance": "tolerance",
  "term.tolerance.text":
    "How far off the required value may be, as the maker's page says. Drawn as a hatched band.",
  "term.offset": "offset of the printed face",
  "term.offset.text":
    "How far the printed face of a wheel plate stands out from the rim's outer plane. It is measured once per set of plates.",
  "term.printCheck": "print check",
  "term.printCheck.text":
    "Two bars on every page show whether the printer kept the size. A print half a percent off moves {far} by {off}.",
  "term.lengthBar": "length bar",
  "term.lengthBar.text":
    "A stiff bar with a board at each end, measured once. It tells every job how long things really are.",
  "term.floorPoint": "floor board",
  "term.floorPoint.text":
    "A board lying flat on the floor. They tie car and target together and tell how the floor lies.",
  "term.pointer": "pointer board",
  "term.pointer.text":
    "A board with a tip that is held on a point for one photo. So the tool learns where the target's middle is.",
  "term.residual": "residual",
  "term.residual.text":
    "How far a board's corner lies in the photo from where everything together says it should be, in pixels. A few tenths are usual.",
  "term.varianceFactor": "variance factor",
  "term.varianceFactor.text":
    "Whether the scatter of all measurements is as expected: 1 is as expected, 4 is twice the expected scatter. Far above 1, something does not fit.",
  "term.redundancy": "redundancy",
  "term.redundancy.text":
    "How many measurements there are beyond those that are just enough. More of them find more slips.",
  "term.probability": "probability of meeting",
  "term.probability.text":
    "How likely the true value lies within the tolerance, given the measured one and its uncertainty (JCGM 106). At 95\u00a0% or more the check meets.",
  "term.toe": "toe",
  "term.toe.text":
    "How much a wheel points inward or outward, seen from above. Half of what both wheels of an axle have together.",
  "term.camber": "camber",
  "term.camber.text": "How much the top of a wheel leans inward or outward. Seen from the front.",
  "term.setBack": "set-back",
  "term.setBack.text":
    "How far one front wheel stands behind the other. A bent part or a pushed subframe shows in it.",
  "term.wheelbase": "wheelbase",
  "term.wheelbase.text":
    "From front axle to rear axle. Stated in the car's papers, it is a check of the whole measurement.",
  "term.sideways": "sideways offset",
  "term.sideways.text":
    "How far the target's middle stands left or right of the line that the maker's page names. Measured square to that line, not to the body.",
  "term.wheelPlate": "wheel plate",
  "term.wheelPlate.text":
    "A plate with a printed board that is clamped to a wheel. Its board tells where the wheel's centre and plane are.",
  "term.standBoard": "stand board",
  "term.standBoard.text":
    "A board (31 to 39) fixed to the stand for good. Once taught, it tells where the target is.",
  "term.cameraSheet": "camera sheet",
  "term.cameraSheet.text":
    "One printed page of squares and marks, photographed from several sides. It shows how the phone's lens bends the picture.",
  "term.referencePoint": "reference point",
  "term.referencePoint.text":
    "The point of the target that the maker's page measures to. Most often the middle of its face.",
  "term.plumbPoint": "plumb point",
  "term.plumbPoint.text":
    "A point of the car brought down to the floor with a plumb bob. A floor board lies on its mark.",
  "term.bearing": "bearing",
  "term.bearing.text":
    "The direction in which the target stands, seen from above. Counted from straight ahead to the left or right.",
  "term.diagonal": "diagonal",
  "term.diagonal.text":
    "Two tapes crosswise from the wheels to the ends of the bar. Where both are equally long, the bar is square to the car and in its middle.",
  "term.guardBand": "guard band",
  "term.guardBand.text":
    "A strip inside the tolerance's edges that does not count as meeting. It keeps what is not sure away from the limit (ISO 14253-1).",
  "term.standardDeviation": "standard deviation",
  "term.standardDeviation.text":
    "The usual size of an error. Two of 3 errors are smaller, 95 of 100 are smaller than twice it.",
  "term.profile": "camera profile",
  "term.profile.text":
    "What is known about one phone's lens, kept for the next jobs. It holds for this phone, this camera and this zoom only.",
  "term.revision": "revision",
  "term.revision.text":
    "A closed record that nobody can change any more. A later change makes the next one and says what is different.",
} as const;
