"""Chessboard corners of opencv-doc's left and right photos (9 x 6, 640 x 480) and OpenCV's lens without
each photo in turn, as JSON. Debian: python3-opencv, opencv-doc. OpenCV's calibration runs with its
usual settings: fx, fy, cx, cy, k1, k2, p1, p2, k3 free, every corner with the same weight."""

import glob
import json

import cv2
import numpy as np

SAMPLES = "/usr/share/doc/opencv-doc/examples/data/"
FLAGS = cv2.CALIB_CB_ADAPTIVE_THRESH | cv2.CALIB_CB_FAST_CHECK | cv2.CALIB_CB_NORMALIZE_IMAGE
CRITERIA = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 30, 0.01)


def corners(file):
    grey = cv2.imread(file, cv2.IMREAD_GRAYSCALE)
    found, at = cv2.findChessboardCorners(grey, (9, 6), flags=FLAGS)
    return cv2.cornerSubPix(grey, at, (11, 11), (-1, -1), CRITERIA) if found else None


def board():
    x, y = np.meshgrid(np.arange(9) - 4.0, np.arange(6) - 2.5)
    return np.stack([x.ravel(), y.ravel(), np.zeros(54)], axis=1).astype(np.float32) * 25


def lens_without(views, i):
    rest = [v for k, v in enumerate(views) if k != i]
    _, camera, d, _, _ = cv2.calibrateCamera([board()] * len(rest), rest, (640, 480), None, None)
    d = d.ravel()
    return {
        **{"fx": camera[0, 0], "fy": camera[1, 1], "cx": camera[0, 2], "cy": camera[1, 2]},
        **{"k1": d[0], "k2": d[1], "p1": d[2], "p2": d[3], "k3": d[4]},
    }


sets = {}
for stem in ["left", "right"]:
    named = [(f.split("/")[-1], corners(f)) for f in sorted(glob.glob(SAMPLES + stem + "??.jpg"))]
    named = [(name, at) for name, at in named if at is not None]
    views = [at for _, at in named]
    sets[stem] = [
        {
            "name": name,
            "pixels": [float(v) for v in at.ravel()],
            "openCvWithout": lens_without(views, i),
        }
        for i, (name, at) in enumerate(named)
    ]
print(json.dumps(sets))
