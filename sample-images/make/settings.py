"""What the whole set shares: the seed, the boards, the paper, the invented phone.

Everything here is invented. Lengths are mm, angles degrees. The scripts beside this file share no
code with the program that measures the photos, so that the images are an outside check on it.
"""
import os

SEED = 20260117

HERE = os.path.dirname(os.path.abspath(__file__))
JOB = os.path.normpath(os.path.join(HERE, "..", "demo-job"))
BUILD = os.environ.get("SAMPLE_BUILD", os.path.join(HERE, "build"))

# Boards: 14 x 14 cells, printed by a printer that prints everything 0.11 % too large.
CELLS = 14
NOMINAL_CELL = 13.0
PRINT_SCALE = 1.0011
PX_PER_CELL = 32
SHEET_PX = (516, 730)  # width, height of a board sheet's texture: an A4 page to half a pixel
WHEEL_IDS = {"frontLeft": 1, "frontRight": 2, "rearLeft": 3, "rearRight": 4}
STAND_IDS = (31, 32)

# Camera sheet: ChArUco, 7 columns x 10 rows, top-left square black.
SHEET_COLUMNS, SHEET_ROWS = 7, 10
SQUARE, MARKER = 25.0, 18.5
SHEET_FIRST_ID = 540
SQUARE_PX = 400  # a marker is 296 px = 8 cells of 37 px

# The invented phone.
WIDTH, HEIGHT = 4032, 3024
LENS = {
    "fx": 2963.1, "fy": 2963.4, "cx": 2031.2, "cy": 1497.6,
    "k1": 0.0462, "k2": -0.1127, "p1": 0.00042, "p2": -0.00031, "k3": 0.0518,
}
# The pinhole picture rendered before distortion: same focal length, a margin on every side.
RENDER_FOCAL = 2963.0
RENDER_SIZE = (4220, 3200)
