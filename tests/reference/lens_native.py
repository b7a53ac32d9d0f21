"""Native OpenCV's side of the check of lens models on photos left out. Debian: python3-opencv.

    lens_native.py fit FILE    calibrateCamera on the views in FILE, for Brown's five numbers, the
                               rational model, and that with thin prism; each with its error on the
                               views left out
    lens_native.py pose FILE   error of a given Brown lens on given views, the pose alone fitted

FILE holds {"width", "height", "views": [{"board": [x0, y0, ..], "pixels": [..]}], "left": [..]} and
for `pose` {"lens": {..}, "left": [..]}. Board points are flat; y points up on the board.
"""

import json
import sys

import cv2
import numpy as np

CRITERIA = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 1000, 1e-16)
MODELS = {
    "brown": 0,
    "rational": cv2.CALIB_RATIONAL_MODEL,
    "rational and prism": cv2.CALIB_RATIONAL_MODEL | cv2.CALIB_THIN_PRISM_MODEL,
}


def points(view):
    board = np.array(view["board"]).reshape(-1, 2)
    flat = np.column_stack([board[:, 0], -board[:, 1], 0 * board[:, 0]])
    return flat, np.array(view["pixels"]).reshape(-1, 1, 2)


def left_out(views, camera, distortion):
    """Root mean square per coordinate over views whose pose alone is fitted."""
    squares, count = 0.0, 0
    for view in views:
        board, pixels = points(view)
        _, rvec, tvec = cv2.solvePnP(board, pixels, camera, distortion)
        rvec, tvec = cv2.solvePnPRefineLM(board, pixels, camera, distortion, rvec, tvec, CRITERIA)
        seen, _ = cv2.projectPoints(board, rvec, tvec, camera, distortion)
        squares += float(np.sum((seen - pixels) ** 2))
        count += 2 * len(board)
    return float(np.sqrt(squares / count))


def fit(task):
    pairs = [points(view) for view in task["views"]]
    boards = [board.astype(np.float32) for board, _ in pairs]
    pixels = [seen.astype(np.float32) for _, seen in pairs]
    size = (task["width"], task["height"])
    answer = {}
    for name, flags in MODELS.items():
        rms, camera, distortion, _, _ = cv2.calibrateCamera(
            boards, pixels, size, None, None, flags=flags, criteria=CRITERIA
        )
        answer[name] = left_out(task["left"], camera, distortion)
    return answer


def pose(task):
    lens = task["lens"]
    camera = np.array([[lens["fx"], 0, lens["cx"]], [0, lens["fy"], lens["cy"]], [0, 0, 1.0]])
    distortion = np.array([lens[k] for k in ["k1", "k2", "p1", "p2", "k3"]])
    return left_out(task["left"], camera, distortion)


with open(sys.argv[2]) as file:
    print(json.dumps({"fit": fit, "pose": pose}[sys.argv[1]](json.load(file))))
