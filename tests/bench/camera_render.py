"""Renders photos of the camera sheet for the camera bench. Debian: python3-opencv.

    camera_render.py TASK.json

TASK: {"width", "height", "lens", "photos": [{"file", "R": 3x3, "t": 3, "focal", "shiftX",
"shiftY", "seed"}]}. R, t: camera from sheet, mm. Independent of the project's own projection: the
sheet is drawn by OpenCV's own marker generator and looked up along each pixel's ray; two by two
rays a pixel, then blur, vignetting, noise, sRGB tone, JPEG.
"""

import json
import sys

import cv2
import numpy as np

TEXELS = 16  # per mm
MARGIN = 12.0  # white paper round the squares, mm
SQUARE, MARKER, COLUMNS, ROWS, FIRST = 25.0, 18.5, 7, 10, 540
BLUR_PX, NOISE, WHITE, BLACK = 0.7, 0.006, 0.75, 0.035  # linear reflectances


def sheet_texture():
    """Linear reflectance; texel (i, j) has its centre at ((j + .5) / TEXELS) mm from the left."""
    height = int((ROWS * SQUARE + 2 * MARGIN) * TEXELS)
    width = int((COLUMNS * SQUARE + 2 * MARGIN) * TEXELS)
    sheet = np.full((height, width), WHITE, np.float32)
    dictionary = cv2.aruco.Dictionary_get(cv2.aruco.DICT_APRILTAG_36h11)
    bits = 8
    marker_id = FIRST
    for row in range(ROWS):
        for column in range(COLUMNS):
            x0, y0 = MARGIN + column * SQUARE, MARGIN + row * SQUARE
            if (row + column) % 2 == 0:
                sheet[
                    int(y0 * TEXELS) : int((y0 + SQUARE) * TEXELS),
                    int(x0 * TEXELS) : int((x0 + SQUARE) * TEXELS),
                ] = BLACK
                continue
            side = int(MARKER * TEXELS)
            marker = cv2.aruco.drawMarker(dictionary, marker_id, bits, borderBits=1)
            marker = cv2.resize(marker, (side, side), interpolation=cv2.INTER_NEAREST)
            inset = (SQUARE - MARKER) / 2
            top, left = int((y0 + inset) * TEXELS), int((x0 + inset) * TEXELS)
            sheet[top : top + side, left : left + side] = np.where(marker > 0, WHITE, BLACK)
            marker_id += 1
    return cv2.GaussianBlur(sheet, (0, 0), 0.8)


def undistort(lens, x, y):
    """Newton on the radius alone is not enough with p1 p2; fixed-point steps converge here."""
    a, b = x.copy(), y.copy()
    for _ in range(25):
        r2 = a * a + b * b
        radial = 1 + r2 * (lens["k1"] + r2 * (lens["k2"] + r2 * lens["k3"]))
        dx = 2 * lens["p1"] * a * b + lens["p2"] * (r2 + 2 * a * a)
        dy = lens["p1"] * (r2 + 2 * b * b) + 2 * lens["p2"] * a * b
        a, b = (x - dx) / radial, (y - dy) / radial
    return a, b


def ray_maps(task, photo):
    """Sheet texel that each half pixel sees. Rays are computed on every 8th, then interpolated."""
    width, height, lens = task["width"], task["height"], task["lens"]
    step = 8
    # Half-pixel sample (i) sits at i / 2 - 0.25 px.
    us = np.arange(0, 2 * width + step, step) / 2 - 0.25
    vs = np.arange(0, 2 * height + step, step) / 2 - 0.25
    u, v = np.meshgrid(us, vs)
    grow = 1 + photo["focal"]
    x = (u - lens["cx"] - photo["shiftX"]) / (lens["fx"] * grow)
    y = (v - lens["cy"] - photo["shiftY"]) / (lens["fy"] * grow)
    a, b = undistort(lens, x, y)
    R, t = np.array(photo["R"]), np.array(photo["t"])
    h = np.linalg.inv(np.column_stack([R[:, 0], R[:, 1], t]))
    p = np.tensordot(h, np.stack([a, b, np.ones_like(a)]), 1)
    sx, sy = p[0] / p[2], p[1] / p[2]
    tx = (sx + COLUMNS * SQUARE / 2 + MARGIN) * TEXELS - 0.5
    ty = (-sy + ROWS * SQUARE / 2 + MARGIN) * TEXELS - 0.5
    behind = p[2] <= 0
    tx[behind], ty[behind] = -1e6, -1e6
    grid_x = np.arange(2 * width, dtype=np.float32) / step
    grid_y = np.arange(2 * height, dtype=np.float32) / step
    return tx, ty, grid_x, grid_y


def spread(values, grid_x, grid_y):
    """Bicubic interpolation of the coarse grid, in double along each axis (separable)."""

    def weights(grid, n):
        base = np.clip(np.floor(grid).astype(int), 1, n - 3)
        f = grid - base
        return base, np.stack(
            [
                -f * (f - 1) * (f - 2) / 6,
                (f + 1) * (f - 1) * (f - 2) / 2,
                -(f + 1) * f * (f - 2) / 2,
                (f + 1) * f * (f - 1) / 6,
            ]
        )

    by, wy = weights(grid_y.astype(np.float64), values.shape[0])
    rows = sum(wy[k][:, None] * values[by + k - 1] for k in range(4))
    bx, wx = weights(grid_x.astype(np.float64), values.shape[1])
    return sum(wx[k][None, :] * rows[:, bx + k - 1] for k in range(4)).astype(np.float32)


def render(task, photo, texture):
    rng = np.random.default_rng(photo["seed"])
    tx, ty, gx, gy = ray_maps(task, photo)
    fine = cv2.remap(
        texture,
        spread(tx, gx, gy),
        spread(ty, gx, gy),
        cv2.INTER_LINEAR,
        borderMode=cv2.BORDER_CONSTANT,
        borderValue=0.25,
    )
    image = cv2.resize(fine, (task["width"], task["height"]), interpolation=cv2.INTER_AREA)
    image = cv2.GaussianBlur(image, (0, 0), BLUR_PX)
    y, x = np.ogrid[: task["height"], : task["width"]]
    r2 = ((x - task["width"] / 2) ** 2 + (y - task["height"] / 2) ** 2) / (
        (task["width"] ** 2 + task["height"] ** 2) / 4
    )
    image = image * (1 - 0.25 * r2).astype(np.float32)
    image += rng.standard_normal(image.shape, np.float32) * NOISE * np.sqrt(0.3 + image)
    image = np.clip(image, 0, 1)
    tone = np.where(image < 0.0031308, 12.92 * image, 1.055 * image ** (1 / 2.4) - 0.055)
    grey = (tone * 255 + 0.5).astype(np.uint8)
    cv2.imwrite(photo["file"], grey, [cv2.IMWRITE_JPEG_QUALITY, 93])


if __name__ == "__main__":
    cv2.setNumThreads(1)
    with open(sys.argv[1]) as file:
        job = json.load(file)
    drawn = sheet_texture()
    for one in job["photos"]:
        render(job, one, drawn)
