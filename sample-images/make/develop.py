"""From the linear pinhole picture to the phone's JPEG: lens, blur, vignetting, noise, tone, EXIF.

    SAMPLE_BUILD=... python3 develop.py [photo names or parts of names]
Waits for nothing: photos whose EXR is not there yet are skipped and named.
"""
import datetime
import json
import os
import subprocess
import sys

os.environ["OPENCV_IO_ENABLE_OPENEXR"] = "1"
import cv2  # noqa: E402
import numpy as np  # noqa: E402
from scipy.interpolate import RectBivariateSpline  # noqa: E402
from scipy.ndimage import map_coordinates  # noqa: E402

import settings as S  # noqa: E402

BLUR_SIGMA = 0.75  # px, optics and sensor together
QUALITY = int(os.environ.get("SAMPLE_QUALITY", "91"))


def distort(x, y):
    """Brown's model, OpenCV's order and sign."""
    k = S.LENS
    r2 = x * x + y * y
    radial = 1 + r2 * (k["k1"] + r2 * (k["k2"] + r2 * k["k3"]))
    return (x * radial + 2 * k["p1"] * x * y + k["p2"] * (r2 + 2 * x * x),
            y * radial + k["p1"] * (r2 + 2 * y * y) + 2 * k["p2"] * x * y)


def undistort(xd, yd):
    """Fixed-point inverse of distort; the residual is checked by the caller."""
    x, y = xd.copy(), yd.copy()
    for _ in range(40):
        ex, ey = distort(x, y)
        x, y = x - (ex - xd), y - (ey - yd)
    return x, y


def pinhole_coordinates(photo):
    """For every pixel of the photo, column and row in the pinhole picture (pixel centres whole)."""
    step = 8
    u, v = np.arange(-step, S.WIDTH + 2 * step, step), np.arange(-step, S.HEIGHT + 2 * step, step)
    shift, factor = photo["principalPointShift"], photo["focalFactor"]
    xd, yd = np.meshgrid((u - S.LENS["cx"] - shift[0]) / (S.LENS["fx"] * factor),
                         (v - S.LENS["cy"] - shift[1]) / (S.LENS["fy"] * factor))
    x, y = undistort(xd, yd)
    back = distort(x, y)
    assert max(np.abs(back[0] - xd).max(), np.abs(back[1] - yd).max()) < 1e-9
    width, height = S.RENDER_SIZE
    columns = S.RENDER_FOCAL * x + (width - 1) / 2
    rows = S.RENDER_FOCAL * y + (height - 1) / 2
    assert columns.min() > 2 and rows.min() > 2 and columns.max() < width - 3 and rows.max() < height - 3
    fu, fv = np.arange(S.WIDTH), np.arange(S.HEIGHT)
    return (RectBivariateSpline(v, u, columns)(fv, fu), RectBivariateSpline(v, u, rows)(fv, fu))


def read_linear(name):
    """The pinhole picture (blue, green, red) with the finer parts laid over it."""
    folder = os.path.join(S.BUILD, "exr")
    small = cv2.imread(os.path.join(folder, name + ".exr"), cv2.IMREAD_UNCHANGED).astype(np.float32)
    linear = np.maximum(cv2.resize(small, S.RENDER_SIZE, interpolation=cv2.INTER_CUBIC), 0)
    with open(os.path.join(folder, name + ".json"), encoding="utf-8") as file:
        boxes = json.load(file)
    for number, (left, top, right, bottom) in enumerate(boxes):
        part = cv2.imread(os.path.join(folder, f"{name}.part{number}.exr"), cv2.IMREAD_UNCHANGED)
        assert part.shape == (bottom - top, right - left, 3), (part.shape, boxes[number])
        whole = linear[top:bottom, left:right]
        assert np.abs(part - whole).mean() < 0.15 * whole.mean() + 0.02, "a part does not fit"
        linear[top:bottom, left:right] = part
    return linear, boxes


def resample(linear, columns, rows, boxes):
    """Cubic spline with exact coordinates on the printed patterns, OpenCV's cubic (which rounds
    coordinates to 1/32 px) everywhere else."""
    out = cv2.remap(linear, columns.astype(np.float32), rows.astype(np.float32), cv2.INTER_CUBIC)
    for left, top, right, bottom in boxes:
        inside = (columns > left + 3) & (columns < right - 4) & (rows > top + 3) & (rows < bottom - 4)
        if not inside.any():
            continue
        y, x = np.where(inside.any(axis=1))[0], np.where(inside.any(axis=0))[0]
        window = (slice(y[0], y[-1] + 1), slice(x[0], x[-1] + 1))
        where = inside[window]
        places = (rows[window][where] - top, columns[window][where] - left)
        for channel in range(3):
            part = linear[top:bottom, left:right, channel]
            out[..., channel][window][where] = map_coordinates(part, places, order=3, mode="nearest")
    return np.maximum(out, 0)


def brightest_page(luma, columns, rows, boxes):
    whites = [0.1]
    for left, top, right, bottom in boxes:
        inside = (columns > left) & (columns < right) & (rows > top) & (rows < bottom)
        if inside.sum() > 400:
            whites.append(np.percentile(luma[inside], 95))
    return max(whites)


def tone(linear):
    """sRGB curve with an S-shaped contrast on top, 0..1."""
    x = np.clip(linear, 0, 1)
    srgb = np.where(x <= 0.0031308, 12.92 * x, 1.055 * np.power(np.maximum(x, 1e-6), 1 / 2.4) - 0.055)
    return 0.72 * srgb + 0.28 * (3 * srgb**2 - 2 * srgb**3)


def develop(photo, index):
    name = os.path.splitext(os.path.basename(photo["file"]))[0]
    source = os.path.join(S.BUILD, "exr", name + ".exr")
    if not os.path.exists(source):
        print(f"{name}: no EXR yet")
        return
    rng = np.random.default_rng([S.SEED, index])
    linear, boxes = read_linear(name)
    columns, rows = pinhole_coordinates(photo)
    image = resample(linear, columns, rows, boxes)
    image = cv2.GaussianBlur(image, (0, 0), BLUR_SIGMA)
    u, v = np.meshgrid(np.arange(S.WIDTH) - S.LENS["cx"], np.arange(S.HEIGHT) - S.LENS["cy"])
    r2 = (u * u + v * v) / (2520.0**2)
    image *= (1 - 0.30 * r2 + 0.05 * r2 * r2).astype(np.float32)[..., None]
    luma = image @ np.array([0.0722, 0.7152, 0.2126], np.float32)
    # Exposed so that the brightest page stays short of white.
    gain = min(0.86 / brightest_page(luma, columns, rows, boxes), 0.82 / np.percentile(luma, 98.5),
               0.32 / np.median(luma))
    image *= gain * np.array([1.03, 1.0, 0.98], np.float32)
    full_well = 9000.0  # electrons at white: 1 % shot noise there
    noise = np.sqrt(np.maximum(image, 0) / full_well + (4.0 / full_well) ** 2).astype(np.float32)
    image += noise * rng.standard_normal(image.shape, dtype=np.float32)
    image = tone(image).astype(np.float32)
    image += 0.35 * (image - cv2.GaussianBlur(image, (0, 0), 1.2))
    pixels = np.clip(np.rint(image * 255), 0, 255).astype(np.uint8)
    target = os.path.join(S.JOB, photo["file"])
    os.makedirs(os.path.dirname(target), exist_ok=True)
    cv2.imwrite(target, pixels, [cv2.IMWRITE_JPEG_QUALITY, QUALITY, cv2.IMWRITE_JPEG_OPTIMIZE, 1])
    write_exif(target, photo, index, gain)
    print(f"{name}: gain {gain:.2f}, {os.path.getsize(target) / 1e6:.2f} MB", flush=True)


def write_exif(path, photo, index, gain):
    sheet = photo["file"].startswith("camera/")
    taken = datetime.datetime(2026, 1, 17, 9, 12 if sheet else 31, 8) + datetime.timedelta(seconds=17 * index)
    exposure = {True: "1/120", False: "1/60"}[sheet]
    tags = {
        "Make": "Invented", "Model": "Bay One", "Software": "Bay One 1.0",
        "Orientation#": photo["exifOrientation"], "XResolution": 72, "YResolution": 72, "ResolutionUnit": "inches",
        "DateTimeOriginal": taken.strftime("%Y:%m:%d %H:%M:%S"), "CreateDate": taken.strftime("%Y:%m:%d %H:%M:%S"),
        "ModifyDate": taken.strftime("%Y:%m:%d %H:%M:%S"), "ExposureTime": exposure, "FNumber": 1.8,
        "ISO": int(round(100 * gain / 10) * 10), "FocalLength": 5.6, "FocalLengthIn35mmFormat": 26,
        "ExifImageWidth": S.WIDTH, "ExifImageHeight": S.HEIGHT, "ColorSpace": "sRGB", "LensModel": "Bay One 5.6 mm f/1.8",
        "ExifVersion": "0232", "Flash": "No Flash", "WhiteBalance": "Auto", "DigitalZoomRatio": 1,
        "ImageDescription": "Rendered, invented scene", "Copyright": "CC0 1.0",
    }
    subprocess.run(["exiftool", "-q", "-overwrite_original", *[f"-{k}={v}" for k, v in tags.items()], path], check=True)


def main():
    with open(os.path.join(S.JOB, "truth.json"), encoding="utf-8") as file:
        truth = json.load(file)
    for index, photo in enumerate(truth["photos"] + truth["sheetPhotos"]):
        if len(sys.argv) < 2 or any(w in photo["file"] for w in sys.argv[1:]):
            develop(photo, index)


if __name__ == "__main__":
    main()
