"""Times Debian's OpenCV on JPEG files, one thread: decode_native.py FILE...

Every number n on standard input decodes file n once; the answer is one JSON line with the time and
the sum of the grey values. So both programs take turns under the same load.
"""
import json
import sys
import time

import cv2
import numpy as np

cv2.setNumThreads(1)
FLAGS = cv2.IMREAD_GRAYSCALE | cv2.IMREAD_IGNORE_ORIENTATION
photos = [np.fromfile(path, np.uint8) for path in sys.argv[1:]]
for line in sys.stdin:
    n = int(line)
    start = time.perf_counter()
    cpu = time.process_time()
    grey = cv2.imdecode(photos[n], FLAGS)
    cpu = (time.process_time() - cpu) * 1000
    ms = (time.perf_counter() - start) * 1000
    print(json.dumps({"ms": ms, "cpu": cpu, "sum": int(grey.sum(dtype=np.int64))}), flush=True)
