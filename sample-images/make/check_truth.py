"""Checks the finished photos against truth.json with Debian's OpenCV (python3-opencv).

In every photo the markers are found with cv2.aruco; the ring's inner corners (saddle points) are
projected with cv2.projectPoints from the truth alone, refined with cv2.cornerSubPix, and the
difference is printed. Sheet photos likewise with the corners between the squares. Exit status 1 if
a bias, an rms or a count is out of bounds.
"""
import json
import os
import sys

import cv2
import numpy as np

import settings as S

FAMILY = cv2.aruco.Dictionary_get(cv2.aruco.DICT_APRILTAG_36h11)
MIN_CELL_PX = 8.0  # boards whose saddles are closer together are found but not measured
failures = []


def complain(text):
    failures.append(text)
    print("  FAILS:", text)


def ring_saddles(cell):
    """Inner corners of the checks, board frame: corners where all four cells belong to the ring."""
    points = []
    for row in range(1, 14):
        for column in range(1, 14):
            cells = [(row - 1, column - 1), (row - 1, column), (row, column - 1), (row, column)]
            if all(min(c) < 2 or max(c) > 11 for c in cells):
                points.append(((column - 7) * cell, (7 - row) * cell, 0.0))
    return np.array(points)


def sheet_corners(square):
    return np.array([((c + 1 - 3.5) * square, (5 - (r + 1)) * square, 0.0)
                     for r in range(9) for c in range(6)])


def camera_of(truth, photo):
    lens, f, (sx, sy) = truth["lens"], photo["focalFactor"], photo["principalPointShift"]
    k = np.array([[lens["fx"] * f, 0, lens["cx"] + sx], [0, lens["fy"] * f, lens["cy"] + sy], [0, 0, 1]])
    return k, np.array([lens[n] for n in ("k1", "k2", "p1", "p2", "k3")])


def project(points, pose, camera):
    rotation, translation = np.array(pose["rotation"]), np.array(pose["translation"])
    return cv2.projectPoints(points, cv2.Rodrigues(rotation)[0], translation, *camera)[0].reshape(-1, 2)


def chain(camera_from_vehicle, vehicle_from_board):
    a, b = camera_from_vehicle, vehicle_from_board
    ra, rb = np.array(a["rotation"]), np.array(b["rotation"])
    return {"rotation": ra @ rb, "translation": ra @ np.array(b["translation"]) + np.array(a["translation"])}


def refine(grey, expected, cell_px):
    """Saddle points near the expected places; window kept inside the neighbouring cells."""
    half = max(4, min(10, int(cell_px * 0.5)))
    start = expected.astype(np.float32).reshape(-1, 1, 2).copy()
    found = cv2.cornerSubPix(grey, start, (half, half), (-1, -1),
                             (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 60, 1e-4))
    return found.reshape(-1, 2) - expected


def detect(grey, dictionary):
    parameters = cv2.aruco.DetectorParameters_create()
    parameters.adaptiveThreshWinSizeMax = 83
    parameters.adaptiveThreshWinSizeStep = 16
    parameters.minMarkerPerimeterRate = 0.008
    corners, ids, _ = cv2.aruco.detectMarkers(grey, dictionary, parameters=parameters)
    return {} if ids is None else {int(i): c.reshape(4, 2) for i, c in zip(ids.ravel(), corners)}


def report(file, text, residuals, limit_bias, limit_rms):
    bias, rms = residuals.mean(axis=0), np.sqrt((residuals**2).mean())
    print(f"{file}  {text}  points {len(residuals):4d}  bias {bias[0]:+.3f} {bias[1]:+.3f}  rms {rms:.3f}")
    if np.abs(bias).max() > limit_bias or rms > limit_rms:
        complain(f"{file}: bias {bias.round(3)} rms {rms:.3f}")


def check_bay_photo(truth, photo, seen, everything):
    grey = cv2.imread(os.path.join(S.JOB, photo["file"]), cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION)
    if grey is None or grey.shape != (S.HEIGHT, S.WIDTH):
        return complain(f"{photo['file']}: missing or wrong size")
    camera = camera_of(truth, photo)
    found = detect(grey, FAMILY)
    boards = {b["id"]: b for b in truth["boards"]}
    residuals, measured = [], []
    for board_id, corners in sorted(found.items()):
        if board_id not in boards:
            complain(f"{photo['file']}: id {board_id} does not exist")
            continue
        board = boards[board_id]
        pose = chain(photo["cameraFromVehicle"], board["vehicleFromBoard"])
        h = 4 * board["cell"]
        tag = project(np.array([(-h, h, 0), (h, h, 0), (h, -h, 0), (-h, -h, 0.0)]), pose, camera)
        seen.setdefault(board_id, []).append(photo["file"])
        expected = project(ring_saddles(board["cell"]), pose, camera)
        distances = np.linalg.norm(expected[:, None] - expected[None], axis=2)
        cell_px = distances[distances > 0].min()
        # Unrefined tag corners; coarse where cells are small.
        if np.abs(tag - corners).max() > (2.5 if cell_px > MIN_CELL_PX else 6.0):
            complain(f"{photo['file']}: corners of {board_id} off by {np.abs(tag - corners).max():.1f} px")
        if cell_px < MIN_CELL_PX:
            continue
        inside = ((expected > 12) & (expected < (S.WIDTH - 13, S.HEIGHT - 13))).all(axis=1)
        if inside.any():
            delta = refine(grey, expected[inside], cell_px)
            good = np.abs(delta).max(axis=1) < 1.0
            if good.mean() < 0.8:
                complain(f"{photo['file']}: board {board_id} hidden in part? {good.mean():.0%} of saddles")
            residuals.append(delta[good])
            measured.append(board_id)
    if len(found) < 3:
        complain(f"{photo['file']}: fewer than 3 boards")
    if not residuals:
        return complain(f"{photo['file']}: nothing measured")
    residuals = np.vstack(residuals)
    everything.append(residuals)
    report(photo["file"], f"found {sorted(found)} measured {len(measured)}", residuals, 0.04, 0.12)


def check_sheet_photo(truth, photo, everything):
    grey = cv2.imread(os.path.join(S.JOB, photo["file"]), cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION)
    if grey is None or grey.shape != (S.HEIGHT, S.WIDTH):
        return complain(f"{photo['file']}: missing or wrong size")
    found = detect(grey, FAMILY)
    wrong = [i for i in found if not 540 <= i <= 574]
    if wrong or len(found) < 30:
        complain(f"{photo['file']}: {len(found)} markers, unexpected {wrong}")
    camera = camera_of(truth, photo)
    expected = project(sheet_corners(truth["print"]["sheetSquareTrue"]), photo["cameraFromSheet"], camera)
    residuals = refine(grey, expected, 14)
    everything.append(residuals)
    report(photo["file"], f"markers {len(found)}", residuals, 0.04, 0.12)
    check_layout(photo["file"], grey, found, expected)


def check_layout(file, grey, found, expected):
    """OpenCV's own ChArUco layout (4.6 and later: top-left square black) finds the same corners."""
    family = cv2.aruco.Dictionary_get(cv2.aruco.DICT_APRILTAG_36h11)
    family.bytesList = family.bytesList[540:575]
    board = cv2.aruco.CharucoBoard_create(7, 10, 25.0, 18.5, family)
    if not found:
        return
    ids = np.array([[i - 540] for i in found], np.int32)
    corners = [c.reshape(1, 4, 2) for c in found.values()]
    count, points, point_ids = cv2.aruco.interpolateCornersCharuco(corners, ids, grey, board)
    if count < 40:
        return complain(f"{file}: ChArUco gives {count} corners")
    object_points = board.chessboardCorners[point_ids.ravel()]
    column, row = np.rint(object_points[:, 0] / 25) - 1, np.rint(object_points[:, 1] / 25) - 1
    direct, flipped = [np.linalg.norm(points.reshape(-1, 2) - expected[(r * 6 + column).astype(int)], axis=1)
                       for r in (row, 8 - row)]
    # OpenCV 4.6 returns ChArUco corners about half a pixel too far right and down; only the layout counts here.
    if min(np.median(direct), np.median(flipped)) > 1.2:
        complain(f"{file}: ChArUco corners are elsewhere ({np.median(direct):.1f} / {np.median(flipped):.1f} px)")


def main():
    with open(os.path.join(S.JOB, "truth.json"), encoding="utf-8") as file:
        truth = json.load(file)
    assert len(ring_saddles(13.0)) == 48
    seen, bay, sheet = {}, [], []
    for photo in truth["photos"]:
        check_bay_photo(truth, photo, seen, bay)
    for photo in truth["sheetPhotos"]:
        check_sheet_photo(truth, photo, sheet)
    print("\nphotos per board:", {i: len(f) for i, f in sorted(seen.items())})
    for board in truth["boards"]:
        need = 5 if board["id"] in S.STAND_IDS else 3 if board["id"] < 10 else 2
        if len(seen.get(board["id"], [])) < need:
            complain(f"board {board['id']} in {len(seen.get(board['id'], []))} photos, {need} needed")
    if bay and sheet:
        for name, residuals in (("bay", np.vstack(bay)), ("sheet", np.vstack(sheet))):
            report("all", f"{name} photos", residuals, 0.02, 0.10)
    size = sum(os.path.getsize(os.path.join(r, f)) for r, _, fs in os.walk(S.JOB) for f in fs)
    print(f"demo-job: {size / 1e6:.1f} MB")
    if size > 48e6:
        complain("demo-job is larger than 48 MB")
    print("ALL WELL" if not failures else f"{len(failures)} FAILURES")
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
