"""Grey pictures as Debian's OpenCV decodes them, and JPEGs with restart markers.

photo_native.py grey OUTDIR FILE...       writes OUTDIR/<n>.grey (raw bytes), prints width height per file
photo_native.py restart SOURCE OUTDIR     writes JPEGs with restart intervals, prints their paths
"""
import os
import sys

import cv2

FLAGS = cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION


def grey(outdir, files):
    for n, path in enumerate(files):
        image = cv2.imread(path, FLAGS)
        if image is None:
            print("unreadable")
            continue
        image.tofile(os.path.join(outdir, "%d.grey" % n))
        print(image.shape[1], image.shape[0])


def restart(source, outdir):
    image = cv2.imread(source)
    for interval in (1, 3, 40, 500):
        for progressive in (0, 1):
            path = os.path.join(outdir, "restart-%d-%d.jpg" % (interval, progressive))
            params = [cv2.IMWRITE_JPEG_RST_INTERVAL, interval, cv2.IMWRITE_JPEG_PROGRESSIVE, progressive]
            cv2.imwrite(path, image, params)
            print(path)


if sys.argv[1] == "grey":
    grey(sys.argv[2], sys.argv[3:])
else:
    restart(sys.argv[2], sys.argv[3])
