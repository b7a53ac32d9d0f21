"""Facts from Debian's OpenCV, as JSON on standard output. Knows nothing of the project.

boards_opencv.py family            cells of every tag of DICT_APRILTAG_36h11, as OpenCV draws them
boards_opencv.py sheet             geometry of the 7 x 10 ChArUco board with ids 540..574
boards_opencv.py board PAGE.pgm X Y..  tags found on the page with refined corners, and the given
                                   points moved to the nearest saddle
boards_opencv.py sheet-corners PAGE.pgm   ChArUco corners found on the page
"""
import json
import sys

import cv2
import numpy as np

aruco = cv2.aruco
dictionary = aruco.Dictionary_get(aruco.DICT_APRILTAG_36h11)


def sheet_board():
    board = aruco.CharucoBoard_create(7, 10, 25, 18.5, dictionary)
    board.setIds(np.arange(540, 575))
    return board


def family():
    tags = []
    for tag in range(587):
        cells = aruco.drawMarker(dictionary, tag, 8)
        tags.append("".join("1" if c else "0" for c in cells.reshape(-1)))
    return {"version": cv2.__version__, "tags": tags}


def sheet():
    board = sheet_board()
    picture = board.draw((700, 1000))
    return {
        "corners": np.asarray(board.chessboardCorners).reshape(-1, 3).tolist(),
        "markers": np.asarray(board.objPoints).reshape(-1, 4, 3).tolist(),
        "ids": np.asarray(board.ids).reshape(-1).tolist(),
        "topLeftBlack": bool(picture[5, 5] < 128),
    }


def detect(picture):
    parameters = aruco.DetectorParameters_create()
    parameters.cornerRefinementMethod = aruco.CORNER_REFINE_SUBPIX
    corners, ids, _ = aruco.detectMarkers(picture, dictionary, parameters=parameters)
    return corners, ids


def to_saddle(picture, points):
    # The finest stop: the default one leaves half a pixel at this resolution.
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 100, 1e-4)
    start = np.array(points, np.float32).reshape(-1, 1, 2)
    return cv2.cornerSubPix(picture, start, (20, 20), (-1, -1), stop).reshape(-1).tolist()


def board(path, numbers):
    picture = cv2.imread(path, cv2.IMREAD_GRAYSCALE)
    corners, ids = detect(picture)
    return {
        "ids": [] if ids is None else ids.reshape(-1).tolist(),
        "corners": [c.reshape(-1).tolist() for c in corners],
        "saddles": to_saddle(picture, numbers),
    }


def sheet_corners(path):
    picture = cv2.imread(path, cv2.IMREAD_GRAYSCALE)
    corners, ids = detect(picture)
    _, found, found_ids = aruco.interpolateCornersCharuco(corners, ids, picture, sheet_board())
    return {
        "markers": sorted(ids.reshape(-1).tolist()),
        "ids": found_ids.reshape(-1).tolist(),
        "corners": to_saddle(picture, found),
    }


what, arguments = sys.argv[1], sys.argv[2:]
answers = {
    "family": family,
    "sheet": sheet,
    "board": lambda: board(arguments[0], [float(a) for a in arguments[1:]]),
    "sheet-corners": lambda: sheet_corners(arguments[0]),
}
json.dump(answers[what](), sys.stdout)
