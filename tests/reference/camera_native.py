"""Native OpenCV's side of the camera checks. Debian: python3-opencv, opencv-doc.

    camera_native.py left            chessboard corners of opencv-doc's left01..14.jpg, as JSON
    camera_native.py calibrate FILE  calibrateCameraExtended on the detections in FILE
    camera_native.py photos FILE..   ChArUco corners of the camera sheet in photos, and the
                                     calibration from them, all by OpenCV with its usual settings

FILE holds {"width", "height", "fixedAspect", "views": [{"board": [x0, y0, ..], "pixels": [..]}]}.
Board points are flat; y points up on the board and is negated here so that z goes into the scene.
"""

import json
import sys

import cv2
import numpy as np

SAMPLES = "/usr/share/doc/opencv-doc/examples/data/"
# left10.jpg is not part of the published set.
NUMBERS = [1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 12, 13, 14]


def left_corners():
    """Corners as OpenCV's own calibration sample finds them: window 11, 30 steps or 0.1 px."""
    flags = (
        cv2.CALIB_CB_ADAPTIVE_THRESH | cv2.CALIB_CB_FAST_CHECK | cv2.CALIB_CB_NORMALIZE_IMAGE
    )
    criteria = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 30, 0.1)
    photos = []
    for number in NUMBERS:
        name = "left%02d.jpg" % number
        grey = cv2.imread(SAMPLES + name, cv2.IMREAD_GRAYSCALE)
        found, corners = cv2.findChessboardCorners(grey, (9, 6), flags=flags)
        if not found:
            raise SystemExit("no chessboard in " + name)
        corners = cv2.cornerSubPix(grey, corners, (11, 11), (-1, -1), criteria)
        photos.append({"name": name, "pixels": [round(float(v), 5) for v in corners.ravel()]})
    return {
        "source": "Debian opencv-doc 4.6.0 examples/data/left01..14.jpg (Apache-2.0); corners by "
        "cv2.findChessboardCorners and cornerSubPix of Debian's OpenCV 4.6.0",
        "columns": 9,
        "rows": 6,
        "width": 640,
        "height": 480,
        "photos": photos,
    }


def calibrate(task):
    objects, images = [], []
    for view in task["views"]:
        board = np.array(view["board"], np.float32).reshape(-1, 2)
        objects.append(np.column_stack([board[:, 0], -board[:, 1], 0 * board[:, 0]]))
        images.append(np.array(view["pixels"], np.float32).reshape(-1, 1, 2))
    objects = [o.astype(np.float32) for o in objects]
    start = np.eye(3)
    flags = cv2.CALIB_FIX_ASPECT_RATIO if task.get("fixedAspect") else 0
    rms, camera, distortion, _, _, deviations, _, per_view = cv2.calibrateCameraExtended(
        objects,
        images,
        (task["width"], task["height"]),
        start,
        None,
        flags=flags,
        criteria=(cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_COUNT, 1000, 1e-16),
    )
    k = distortion.ravel()
    names = ["fx", "fy", "cx", "cy", "k1", "k2", "p1", "p2", "k3"]
    values = [camera[0, 0], camera[1, 1], camera[0, 2], camera[1, 2], *k[:5]]
    return {
        "rms": rms,
        "lens": dict(zip(names, map(float, values))),
        "sd": dict(zip(names, map(float, deviations.ravel()[:9]))),
        "perView": [float(v) for v in per_view.ravel()],
    }


def sheet_corners(name, board, dictionary):
    """Sheet corners (squares, centred, y up) and pixels; OpenCV refines corners by itself."""
    grey = cv2.imread(name, cv2.IMREAD_GRAYSCALE)
    parameters = cv2.aruco.DetectorParameters_create()
    parameters.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    corners, ids, _ = cv2.aruco.detectMarkers(grey, dictionary, parameters=parameters)
    if ids is None:
        return grey.shape, [], []
    _, points, numbers = cv2.aruco.interpolateCornersCharuco(corners, ids, grey, board)
    if numbers is None:
        return grey.shape, [], []
    sheet = []
    for number in numbers.ravel():
        row, column = divmod(int(number), 6)
        sheet += [column + 1 - 3.5, 5 - (row + 1)]
    return grey.shape, sheet, [float(v) for v in points.ravel()]


def photos(names):
    dictionary = cv2.aruco.Dictionary_get(cv2.aruco.DICT_APRILTAG_36h11)
    board = cv2.aruco.CharucoBoard_create(7, 10, 25.0, 18.5, dictionary)
    board.setIds(np.arange(540, 575, dtype=np.int32))
    views = []
    for name in names:
        (height, width), sheet, pixels = sheet_corners(name, board, dictionary)
        if len(sheet) >= 24:
            views.append({"name": name, "board": sheet, "pixels": pixels})
    task = {"width": width, "height": height, "views": views}
    return {"views": views, "calibration": calibrate(task)}


if __name__ == "__main__":
    if sys.argv[1] == "left":
        print(json.dumps(left_corners()))
    elif sys.argv[1] == "photos":
        print(json.dumps(photos(sys.argv[2:])))
    else:
        with open(sys.argv[2]) as file:
            print(json.dumps(calibrate(json.load(file))))
