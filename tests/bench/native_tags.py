"""Debian's OpenCV and AprilTag on the same grey pictures, single thread.

Standard input: JSON {"mode": "corners" | "times" | "ids" | "unrefined", "pictures": [{"path": PGM or JPEG,
"id": tag, "ring": [x0, y0, ..] start points for the saddle refinement}]}.
Standard output: JSON, one entry a picture. Times are processor seconds, least of three runs.
"""
import ctypes
import json
import sys
import time

import cv2
import numpy as np

cv2.setNumThreads(1)
DICTIONARY = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
REFINEMENTS = {"none": 0, "subpix": 1, "contour": 2, "apriltag": 3}
WINDOWS = [1, 2, 3, 4, 5, 7, 9, 11]


class Image(ctypes.Structure):
    _fields_ = [
        ("width", ctypes.c_int32),
        ("height", ctypes.c_int32),
        ("stride", ctypes.c_int32),
        ("buf", ctypes.c_void_p),
    ]


class Detector(ctypes.Structure):
    """The public head of the detector: its settings."""

    _fields_ = [
        ("nthreads", ctypes.c_int),
        ("quad_decimate", ctypes.c_float),
        ("quad_sigma", ctypes.c_float),
        ("refine_edges", ctypes.c_bool),
        ("decode_sharpening", ctypes.c_double),
        ("debug", ctypes.c_bool),
    ]


class Detection(ctypes.Structure):
    _fields_ = [
        ("family", ctypes.c_void_p),
        ("id", ctypes.c_int),
        ("hamming", ctypes.c_int),
        ("decision_margin", ctypes.c_float),
        ("H", ctypes.c_void_p),
        ("c", ctypes.c_double * 2),
        ("p", ctypes.c_double * 8),
    ]


class Array(ctypes.Structure):
    _fields_ = [
        ("el_sz", ctypes.c_size_t),
        ("size", ctypes.c_int),
        ("alloc", ctypes.c_int),
        ("data", ctypes.POINTER(ctypes.POINTER(Detection))),
    ]


class AprilTag:
    def __init__(self, decimate):
        self.library = ctypes.CDLL("libapriltag.so.3")
        self.library.tag36h11_create.restype = ctypes.c_void_p
        self.library.apriltag_detector_create.restype = ctypes.POINTER(Detector)
        self.library.apriltag_detector_detect.restype = ctypes.POINTER(Array)
        self.library.apriltag_detector_add_family_bits.argtypes = [
            ctypes.c_void_p,
            ctypes.c_void_p,
            ctypes.c_int,
        ]
        self.detector = self.library.apriltag_detector_create()
        family = self.library.tag36h11_create()
        self.library.apriltag_detector_add_family_bits(self.detector, family, 2)
        self.detector.contents.nthreads = 1
        self.detector.contents.quad_decimate = decimate

    def find(self, grey):
        """[(id, 4 x 2 corners with the centre of the first pixel at (0, 0))]"""
        grey = np.ascontiguousarray(grey)
        picture = Image(grey.shape[1], grey.shape[0], grey.shape[1], grey.ctypes.data)
        array = self.library.apriltag_detector_detect(self.detector, ctypes.byref(picture))
        found = []
        for i in range(array.contents.size):
            tag = array.contents.data[i].contents
            found.append((tag.id, np.array(tag.p[:]).reshape(4, 2) - 0.5))
        self.library.apriltag_detections_destroy(array)
        return found


def parameters(refinement, window=None):
    p = cv2.aruco.DetectorParameters_create()
    p.cornerRefinementMethod = REFINEMENTS[refinement]
    if window:
        p.cornerRefinementWinSize = window
    return p


def opencv_tags(grey, refinement="subpix", window=None):
    corners, ids, _ = cv2.aruco.detectMarkers(
        grey, DICTIONARY, parameters=parameters(refinement, window)
    )
    if ids is None:
        return []
    return [(int(i), c.reshape(4, 2)) for i, c in zip(ids.ravel(), corners)]


def corners_of(found, tag):
    for number, corners in found:
        if number == tag:
            return np.asarray(corners, float).ravel().tolist()
    return None


def measure_corners(entry, april):
    grey = cv2.imread(entry["path"], 0)
    out = {"tags": {}, "ring": {}}
    for name in REFINEMENTS:
        windows = WINDOWS if name == "subpix" else [None]
        for window in windows:
            key = f"OpenCV {name}" + (f" window {window}" if window else "")
            out["tags"][key] = corners_of(opencv_tags(grey, name, window), entry["id"])
    for decimate, detector in april.items():
        out["tags"][f"AprilTag decimate {decimate}"] = corners_of(detector.find(grey), entry["id"])
    start = np.array(entry["ring"], np.float32).reshape(-1, 1, 2)
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 50, 1e-4)
    for window in WINDOWS:
        if 2 * window + 5 > min(grey.shape):
            continue
        points = cv2.cornerSubPix(grey, start.copy(), (window, window), (-1, -1), stop)
        out["ring"][str(window)] = points.ravel().tolist()
    return out


def least(run, times=3):
    best = float("inf")
    result = None
    for _ in range(times):
        start = time.process_time()
        result = run()
        best = min(best, time.process_time() - start)
    return best, result


def measure_times(entry, april):
    decode, grey = least(lambda: cv2.imread(entry["path"], 0))
    plain = cv2.imread(entry["path"], cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION)
    opencv, found = least(lambda: opencv_tags(plain))
    out = {"decode": decode, "opencv": opencv, "ids": sorted(i for i, _ in found)}
    for decimate, detector in april.items():
        out[f"apriltag{decimate}"], found = least(lambda d=detector: d.find(plain), 1)
        out[f"apriltag{decimate}_ids"] = sorted(i for i, _ in found)
    return out


def list_ids(entry, april):
    grey = cv2.imread(entry["path"], cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION)
    if grey is None:
        return {"unreadable": True}
    found = {"opencv": opencv_tags(grey)}
    for decimate, detector in april.items():
        found[f"apriltag{decimate}"] = detector.find(grey)
    return {
        name: [[i, np.asarray(c, float).ravel().tolist()] for i, c in tags]
        for name, tags in found.items()
    }


def unrefined(entry, april):
    """One threshold window: with several, versions differ in which of equal outlines they keep."""
    grey = cv2.imread(entry["path"], cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION)
    p = parameters("none")
    p.adaptiveThreshWinSizeMin = p.adaptiveThreshWinSizeMax = 13
    p.minDistanceToBorder = 1
    corners, ids, _ = cv2.aruco.detectMarkers(grey, DICTIONARY, parameters=p)
    if ids is None:
        return []
    return [[int(i), c.ravel().tolist()] for i, c in zip(ids.ravel(), corners)]


MODES = {"corners": measure_corners, "times": measure_times, "ids": list_ids, "unrefined": unrefined}


def main():
    request = json.load(sys.stdin)
    april = {1: AprilTag(1.0), 2: AprilTag(2.0)}
    measure = MODES[request["mode"]]
    json.dump([measure(entry, april) for entry in request["pictures"]], sys.stdout)


main()
