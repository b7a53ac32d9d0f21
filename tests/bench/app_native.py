"""Native OpenCV's decode and detect of the given photos: what the app's whole way is held against.

Usage: app_native.py photo...   Prints one JSON object: {"seconds": .., "photos": .., "markers": ..}
"""

import json
import sys
import time

import cv2


def main() -> None:
    family = cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)
    if hasattr(cv2.aruco, "ArucoDetector"):
        detect = cv2.aruco.ArucoDetector(family).detectMarkers
    else:
        detect = lambda grey: cv2.aruco.detectMarkers(grey, family)
    start = time.perf_counter()
    markers = 0
    for name in sys.argv[1:]:
        grey = cv2.imread(name, cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION)
        _, ids, _ = detect(grey)
        markers += 0 if ids is None else len(ids)
    seconds = time.perf_counter() - start
    print(json.dumps({"seconds": seconds, "photos": len(sys.argv) - 1, "markers": markers}))


main()
