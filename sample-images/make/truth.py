"""Draws the invented bay, car, plates, stand and photos from the seed.

Writes demo-job/truth.json (everything), demo-job/measurements.json (what a technician would have
read off) and the board textures. Run with Debian's python3 (OpenCV 4.6, numpy, scipy).
"""
import json
import os

import numpy as np
from scipy.spatial.transform import Rotation

import boards
import settings as S

rng = np.random.default_rng(S.SEED)
# The shop's teaching of the target is in no picture and has a stream of its own.
teaching = np.random.default_rng(S.SEED + 1)


def pose(rotation, translation):
    t = np.eye(4)
    t[:3, :3], t[:3, 3] = rotation, translation
    return t


def small_rotation(sd_deg):
    return Rotation.from_rotvec(np.radians(rng.normal(0, sd_deg, 3))).as_matrix()


def about(axis, deg):
    return Rotation.from_rotvec(np.radians(deg) * np.asarray(axis, float)).as_matrix()


def as_json(t):
    return {"rotation": np.round(t[:3, :3], 12).tolist(), "translation": np.round(t[:3, 3], 6).tolist()}


def frame_from_normal(normal, up=(0, 0, 1)):
    """Board axes (x right, y up, z out of the face) as columns."""
    z = np.asarray(normal, float) / np.linalg.norm(normal)
    y = np.asarray(up, float) - np.dot(up, z) * z
    y /= np.linalg.norm(y)
    return np.column_stack([np.cross(y, z), y, z])


# --- the car: wheel centres are symmetric about the front and rear axle midpoints, so the origin
# --- and the X axis of the vehicle frame are exactly where ISO 8855 and the design put them.
WHEELBASE = 2584.0
WHEELS = {  # centre (x, y, z), toe and camber in degrees
    "frontLeft": ((0.9, 761.2, 306.4), 0.08, -0.42),
    "frontRight": ((-0.9, -761.2, 305.8), 0.05, -0.55),
    "rearLeft": ((-WHEELBASE + 1.4, 757.6, 305.1), 0.19, -1.21),
    "rearRight": ((-WHEELBASE - 1.4, -757.6, 304.7), 0.05, -1.34),
}
STAND_OFF = 168.0


def spindle_axis(name, toe, camber):
    """Unit vector outward along the wheel's spindle. Toe positive: front edge of the wheel towards
    the centreline. Camber positive: top of the wheel outward (both as in ISO 8855)."""
    t, g = np.radians(toe), np.radians(camber)
    side = 1.0 if name.endswith("Left") else -1.0
    return np.array([np.sin(t) * np.cos(g), side * np.cos(t) * np.cos(g), -np.sin(g)])


def heading(name, toe):
    """Direction in which the wheel rolls, in the floor plane."""
    side = 1.0 if name.endswith("Left") else -1.0
    return np.array([np.cos(np.radians(toe)), -side * np.sin(np.radians(toe)), 0.0])


def make_wheels():
    wheels, plates = {}, {}
    for name, (centre, toe, camber) in WHEELS.items():
        axis = spindle_axis(name, toe, camber)
        centring = rng.normal(0, 1.0, 2)
        tilt = rng.normal(0, 0.2, 2)
        stand_off = STAND_OFF + rng.normal(0, 0.4)
        spin = rng.normal(0, 2.5)
        square = frame_from_normal(axis) @ about((0, 0, 1), spin)
        rotation = square @ about((1, 0, 0), tilt[0]) @ about((0, 1, 0), tilt[1])
        origin = np.array(centre) + axis * stand_off + square[:, :2] @ centring
        plates[S.WHEEL_IDS[name]] = pose(rotation, origin)
        wheels[name] = {
            "boardId": S.WHEEL_IDS[name],
            "centre": list(centre),
            "spindleAxisOutward": axis.round(12).tolist(),
            "toeDeg": toe,
            "camberDeg": camber,
            "plate": {
                "standOffNominal": STAND_OFF,
                "standOffTrue": round(stand_off, 4),
                "centringErrorInBoardXY": centring.round(4).tolist(),
                "tiltErrorAboutBoardXYDeg": tilt.round(5).tolist(),
                "turnAboutSpindleDeg": round(spin, 4),
            },
        }
    return wheels, plates


FLOOR_PLACES = {  # id: x, y, direction of the board's top edge (yaw in degrees)
    11: (1370, 790, 185), 12: (1310, -730, 170), 13: (160, 1690, -95), 14: (-1290, 1600, -84),
    15: (-2450, 1720, -92), 16: (140, -1650, 93), 17: (-1330, -1620, 86), 18: (-2520, -1700, 97),
    19: (-3960, 1210, 4), 20: (-3890, -1180, -6), 21: (2190, 1540, 176), 22: (2120, -1580, 188),
}


def make_floor():
    floor, record = {}, {}
    for board_id, (x, y, yaw) in FLOOR_PLACES.items():
        x, y = np.array([x, y]) + rng.normal(0, 15, 2)
        unevenness = float(np.clip(rng.normal(0, 0.5), -1.1, 1.1))
        tilt = small_rotation(0.05)
        # Top edge points along yaw; the printed face looks up.
        rotation = tilt @ about((0, 0, 1), yaw - 90 + rng.normal(0, 3))
        floor[board_id] = pose(rotation, (x, y, unevenness))
        record[board_id] = {"heightAboveFloor": round(unevenness, 4)}
    return floor, record


REQUIRED = {"aheadOfFrontAxle": 2500.0, "leftOfCentreline": 0.0, "heightAboveFloor": 1180.0,
            "yawDeg": 0.0, "pitchDeg": 0.0, "rollDeg": 0.0}
OFF = {"aheadOfFrontAxle": 8.2, "leftOfCentreline": 23.4, "heightAboveFloor": -5.7,
       "yawDeg": -0.72, "pitchDeg": 0.21, "rollDeg": -0.13}


def make_stand():
    """Target frame: origin at the reference point (centre of the face), axes as a board's."""
    yaw, pitch, roll = (REQUIRED[k] + OFF[k] for k in ("yawDeg", "pitchDeg", "rollDeg"))
    turn = about((0, 0, 1), yaw) @ about((0, 1, 0), pitch) @ about((1, 0, 0), roll)
    target = pose(turn @ frame_from_normal((-1, 0, 0)),
                  [REQUIRED[k] + OFF[k] for k in ("aheadOfFrontAxle", "leftOfCentreline", "heightAboveFloor")])
    target_from_board, taught, errors, stand_boards = {}, {}, {}, {}
    for board_id, place in zip(S.STAND_IDS, ((-452.0, 18.0, 14.0), (447.0, 22.0, 15.0))):
        # Vehicle left is the target's own -x: board 31 hangs on the vehicle's left.
        t = pose(small_rotation(0.35), np.array(place) + rng.normal(0, 1.5, 3))
        rng.normal(size=6)  # keeps the rest of the stream as it was when the photos were rendered
        shift, turned = teaching.normal(0, 0.3, 3), np.radians(teaching.normal(0, 0.02, 3))
        error = pose(Rotation.from_rotvec(turned).as_matrix(), shift)
        target_from_board[board_id] = t
        taught[board_id] = error @ t
        errors[board_id] = {"translation": shift.round(4).tolist(),
                            "rotationVectorDeg": np.degrees(turned).round(5).tolist()}
        stand_boards[board_id] = target @ t
    return target, target_from_board, taught, errors, stand_boards


PHOTOS = [  # camera position, point looked at (vehicle frame, mm), held portrait?
    ((620, 3250, 1560), (130, 950, 260), False),
    ((-1280, 3500, 1720), (-1290, 900, 330), False),
    ((-3350, 3050, 1380), (-2450, 1050, 160), True),
    ((-4560, 2850, 1640), (-2950, 950, 150), False),
    ((-5350, 180, 1850), (-3350, 20, 150), False),
    ((-4650, -2800, 1580), (-2900, -900, 180), False),
    ((-3150, -3100, 1250), (-2500, -1000, 240), False),
    ((-1320, -3520, 1750), (-1280, -900, 320), False),
    ((700, -3200, 1600), (160, -1000, 230), False),
    ((2050, -3050, 1480), (420, -800, 150), False),
    ((1980, 3000, 1650), (500, 800, 160), False),
    ((250, 2350, 1610), (2250, 130, 720), False),
    ((180, -2400, 1700), (2200, -150, 700), False),
    ((880, 1480, 1520), (2260, -120, 640), True),
    ((-1250, -2350, 1720), (1300, -800, 420), False),
    ((-1350, 2300, 1660), (1300, 850, 430), False),
]


def look_at(position, point, roll_deg, portrait):
    """cameraFromVehicle. Portrait: the phone stands on its end, EXIF orientation 6, and in the
    stored picture the scene's up points to the left."""
    z = np.asarray(point, float) - position
    z /= np.linalg.norm(z)
    right = np.cross(z, (0, 0, 1))
    right /= np.linalg.norm(right)
    rows = np.array([right, np.cross(z, right), z])
    if portrait:
        rows = np.array([rows[1], -rows[0], rows[2]])
    rotation = about((0, 0, 1), roll_deg) @ rows
    return pose(rotation, -rotation @ position)


def lens_changes(mean, sd):
    return {"focalFactor": round(1 + rng.normal(mean, sd), 6),
            "principalPointShift": rng.normal(0, 6.0, 2).round(3).tolist()}


def make_photos():
    photos = []
    for index, (position, point, portrait) in enumerate(PHOTOS):
        position = np.array(position, float) + rng.normal(0, 25, 3)
        point = np.array(point, float) + rng.normal(0, 40, 3)
        photos.append({
            "file": f"photos/bay-{index + 1:02d}.jpg",
            "exifOrientation": 6 if portrait else 1,
            "cameraFromVehicle": as_json(look_at(position, point, rng.normal(0, 2.5), portrait)),
            **lens_changes(-0.0004, 0.0020),
        })
    return photos


SHEET_PHOTOS = [  # distance, tilt, direction of the tilt, turn of the phone, where the sheet goes:
    # -1 / 0 / 1 across and down: pushed to that edge of the frame, 0 in the middle
    (372, 4, 0, 90, 0, 0), (362, 27, 20, 88, 0, 0), (370, 30, 110, 272, 0, 0), (366, 27, 200, 91, 0, 0),
    (382, 31, 290, 266, 0, 0), (372, 15, 45, 90, -1, -1), (368, 16, 135, 274, 1, -1), (374, 18, 225, 87, 1, 1),
    (371, 17, 315, 270, -1, 1), (410, 36, 160, 8, -1, 0), (420, 33, 340, 183, 1, 0), (520, 38, 70, 45, 0, 0),
]
EDGE_GAP = 45  # px from the outermost square to the edge of the photo


def push_to(rotation, distance, across, down):
    """Translation that puts the sheet in the middle or against the chosen edges of the frame."""
    x, y = S.SHEET_COLUMNS * S.SQUARE / 2, S.SHEET_ROWS * S.SQUARE / 2
    outline = np.array([(a, b, 0.0) for a in (-x, x) for b in (-y, y)])
    lens = S.LENS
    ray = np.array([0.0, 0.0, 1.0])
    for _ in range(30):
        points = (rotation @ outline.T).T + ray * distance
        u = lens["fx"] * points[:, 0] / points[:, 2] + lens["cx"]
        v = lens["fy"] * points[:, 1] / points[:, 2] + lens["cy"]
        for axis, (pixels, size, side, f) in enumerate(((u, S.WIDTH, across, lens["fx"]), (v, S.HEIGHT, down, lens["fy"]))):
            error = {0: (pixels.min() + pixels.max()) / 2 - size / 2, -1: pixels.min() - EDGE_GAP,
                     1: pixels.max() - (size - EDGE_GAP)}[side]
            ray[axis] -= error / f
    return ray * distance


def make_sheet_photos():
    """Sheet frame: origin at the centre of the 7 x 10 squares, axes as a board's."""
    photos = []
    for index, (distance, tilt, towards, turn, across, down) in enumerate(SHEET_PHOTOS):
        tilt, towards, turn = tilt + rng.normal(0, 1), towards + rng.normal(0, 6), turn + rng.normal(0, 2)
        facing = np.diag([1.0, -1.0, -1.0])
        lean = (np.cos(np.radians(towards)), np.sin(np.radians(towards)), 0)
        rotation = about((0, 0, 1), turn) @ facing @ about(lean, tilt)
        translation = push_to(rotation, distance + rng.normal(0, 5), across, down)
        photos.append({
            "file": f"camera/sheet-{index + 1:02d}.jpg",
            "exifOrientation": 1,
            "cameraFromSheet": as_json(pose(rotation, translation)),
            **lens_changes(0.0014, 0.0014),
        })
    return photos


LENGTHS = ((21, 15), (22, 18), (19, 21))


def measurements(board_poses, taught):
    """What the technician wrote down, rounded as one reads a ruler and a laser."""
    lengths = []
    for a, b in LENGTHS:
        true = np.linalg.norm(board_poses[a][:3, 3] - board_poses[b][:3, 3])
        lengths.append({"fromBoard": a, "toBoard": b, "millimetres": round(true + rng.normal(0, 1.0), 0),
                        "standardUncertaintyMillimetres": 1.0})
    return {
        "comment": "Invented readings for the demo job. Lengths in mm, angles in degrees.",
        "printCheck": {
            "comment": "Ruler on the bars of one A4 print, read to 0.1 mm. One printer, all boards.",
            "horizontalNominal": 190.0,
            "horizontalRead": round(190 * S.PRINT_SCALE + rng.normal(0, 0.04), 1),
            "verticalNominal": 270.0,
            "verticalRead": round(270 * S.PRINT_SCALE + rng.normal(0, 0.04), 1),
            "standardUncertainty": 0.1, "nominalCell": S.NOMINAL_CELL,
        },
        "measuredLengths": {
            "comment": "Laser, between the centres of two floor boards, read to 1 mm.", "lengths": lengths,
        },
        "wheelPlates": {
            "comment": "Board centre lies on the spindle, this far outside the wheel's centre; the shop's"
                       " stated standard uncertainties of centring (each direction), tilt (each axis) and stand-off.",
            "standOff": STAND_OFF, "centringStandardUncertainty": 1.0,
            "tiltStandardUncertaintyDeg": 0.2, "standOffStandardUncertainty": 0.5,
        },
        "floor": {"comment": "Unevenness of the floor at a board, standard deviation.", "unevenness": 0.5},
        "taughtTarget": {
            "comment": "Target (reference point at the centre of the face; x right, y up, z out of the"
                       " face) from stand board, as the shop taught it once: a point p of the board is"
                       " rotation * p + translation in the target's frame.",
            "targetFromBoard": {str(k): as_json(v) for k, v in taught.items()},
            "standardUncertainty": 0.3, "standardUncertaintyDeg": 0.02,
        },
        "requiredPlacement": {
            "comment": "Invented placement sheet. Ahead of the front-axle line, left of the geometric"
                       " centreline, height of the reference point above the floor, face square to the"
                       " centreline and looking at the car; yaw counter-clockwise positive from above.",
            **REQUIRED,
            "tolerance": {"aheadOfFrontAxle": 10.0, "leftOfCentreline": 10.0, "heightAboveFloor": 10.0,
                          "yawDeg": 0.5, "pitchDeg": 1.0, "rollDeg": 1.0},
        },
    }


def main():
    wheels, plates = make_wheels()
    floor, floor_record = make_floor()
    target, target_from_board, taught, teaching_errors, stand = make_stand()
    board_poses = {**plates, **floor, **stand}
    photos, sheet_photos = make_photos(), make_sheet_photos()

    left, right = (heading(n, WHEELS[n][1]) for n in ("rearLeft", "rearRight"))
    thrust = (left + right) / np.linalg.norm(left + right)
    thrust_yaw = np.degrees(np.arctan2(thrust[1], thrust[0]))
    rear_mid = np.array([-WHEELBASE, 0, np.mean([WHEELS["rearLeft"][0][2], WHEELS["rearRight"][0][2]])])
    front_mid = np.array([0, 0, np.mean([WHEELS["frontLeft"][0][2], WHEELS["frontRight"][0][2]])])
    point = target[:3, 3]
    along = np.array([np.cos(np.radians(thrust_yaw)), np.sin(np.radians(thrust_yaw))])
    offset = point[:2] - rear_mid[:2]
    cell = S.NOMINAL_CELL * S.PRINT_SCALE
    roles = {**{i: f"wheel {n}" for n, i in S.WHEEL_IDS.items()}, **{i: "floor" for i in floor},
             **{i: "stand" for i in stand}}
    truth = {
        "format": "sample-truth", "version": 1, "seed": S.SEED,
        "notes": {
            "units": "Lengths mm, angles degrees, image quantities px.",
            "poses": "aFromB {rotation, translation}: point_a = rotation * point_b + translation; rotation is 3 x 3, row by row.",
            "vehicleFrame": "ISO 8855: origin on the floor below the front-axle midpoint, X forward along the geometric centreline, Y left, Z up.",
            "boardFrame": "Origin at the board's centre, x right, y up, z out of the printed face. The target's frame likewise at its reference point.",
            "cameraFrame": "x right, y down, z into the scene, in the stored picture (before EXIF orientation).",
            "pixels": "The centre of the top-left pixel is (0, 0). Pixel = (fx * focalFactor * x_d + cx + shift_x, fy * focalFactor * y_d + cy + shift_y), (x_d, y_d) Brown-distorted in OpenCV's order and sign.",
            "toe": "Positive: front of the wheel towards the centreline. Camber positive: top of the wheel outward (ISO 8855).",
            "thrustAngle": "Yaw of the thrust line in the vehicle frame, counter-clockwise seen from above positive.",
            "deviations": "True minus required; left positive, ahead positive, up positive, yaw counter-clockwise positive.",
        },
        "imageSize": {"width": S.WIDTH, "height": S.HEIGHT},
        "lens": S.LENS,
        "print": {"scale": S.PRINT_SCALE, "cellTrue": cell, "cellNominal": S.NOMINAL_CELL,
                  "sheetSquareTrue": S.SQUARE * S.PRINT_SCALE, "sheetMarkerTrue": S.MARKER * S.PRINT_SCALE},
        "photos": photos,
        "sheetFrame": "Origin at the centre of the 7 x 10 squares, x right, y up, z out of the printed face.",
        "sheetPhotos": sheet_photos,
        "boards": [{"id": i, "role": roles[i], "cell": cell, "vehicleFromBoard": as_json(t),
                    **({"floor": floor_record[i]} if i in floor_record else {})}
                   for i, t in sorted(board_poses.items())],
        "vehicle": {
            "wheels": wheels, "wheelbase": WHEELBASE,
            "frontAxleMidpoint": front_mid.tolist(), "rearAxleMidpoint": rear_mid.tolist(),
            "centreline": {"from": rear_mid.tolist(), "to": front_mid.tolist()},
            "thrustAngleDeg": round(float(thrust_yaw), 9),
            "thrustLine": {"point": rear_mid.tolist(), "direction": thrust.round(12).tolist()},
        },
        "target": {
            "vehicleFromTarget": as_json(target),
            "targetFromBoard": {str(k): as_json(v) for k, v in target_from_board.items()},
            "taughtTargetFromBoard": {str(k): as_json(v) for k, v in taught.items()},
            "teachingError": {"comment": "taught = error * true, in the target's frame",
                              **{str(k): v for k, v in teaching_errors.items()}},
            "required": REQUIRED,
            "deviationFromRequired": OFF,
            "relativeToThrustLine": {
                "comment": "Of the reference point and of the face; along from the rear-axle midpoint.",
                "along": round(float(offset @ along), 4),
                "left": round(float(offset @ np.array([-along[1], along[0]])), 4),
                "yawDeg": round(REQUIRED["yawDeg"] + OFF["yawDeg"] - float(thrust_yaw), 6),
            },
        },
    }
    os.makedirs(S.JOB, exist_ok=True)
    for name, content in (("truth.json", truth), ("measurements.json", measurements(board_poses, taught))):
        with open(os.path.join(S.JOB, name), "w", encoding="utf-8") as file:
            json.dump(content, file, indent=1)
            file.write("\n")
    boards.write_all(sorted(board_poses), os.path.join(S.BUILD, "textures"))
    factors = np.array([p["focalFactor"] for p in photos + sheet_photos])
    print(f"thrust angle {thrust_yaw:+.4f} deg; focal factors sd {100 * factors.std():.3f} %")


if __name__ == "__main__":
    main()
