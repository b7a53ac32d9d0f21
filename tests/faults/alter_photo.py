"""Alters a JPEG photo as phones, hands and programs do, with Debian's OpenCV.

usage: alter_photo.py FROM TO WHAT STRENGTH
The EXIF of the original is kept unless WHAT says otherwise; no state, no random source but a fixed
seed, so that a run can be had again.
"""
import sys

import cv2
import numpy as np


def exif_segment(data):
    """The APP1 EXIF segment of a JPEG, empty where there is none."""
    at = 2
    while at + 4 <= len(data) and data[at] == 0xFF:
        length = int.from_bytes(data[at + 2 : at + 4], "big")
        if data[at + 1] == 0xE1 and data[at + 4 : at + 8] == b"Exif":
            return data[at : at + 2 + length]
        if data[at + 1] == 0xDA:
            break
        at += 2 + length
    return b""


def spot(shape, cx, cy, radius):
    """A soft round mask, 1 in the middle; place and radius as shares of the picture."""
    height, width = shape[:2]
    y, x = np.mgrid[0:height, 0:width].astype(np.float32)
    r = np.hypot(x - cx * width, y - cy * height) / (radius * width)
    return np.clip(1.5 - r, 0, 1)[..., None]


def motion(img, length):
    size = 2 * int(np.ceil(length)) + 1
    kernel = np.zeros((size, size), np.float32)
    middle = size // 2
    direction = np.array([np.cos(0.5), np.sin(0.5)]) * length / 2
    a = tuple(int(round(16 * (middle - v))) for v in direction)
    b = tuple(int(round(16 * (middle + v))) for v in direction)
    cv2.line(kernel, a, b, 1, 1, cv2.LINE_AA, 4)
    return cv2.filter2D(img, -1, kernel / kernel.sum())


def boards_flash(img, share):
    """White reflections that hide part of the bright paper: saturated patches all over the picture."""
    light = np.zeros(img.shape[:2] + (1,), np.float32)
    for cx in np.arange(0.1, 1, 0.16):
        for cy in np.arange(0.2, 1, 0.2):
            light = np.maximum(light, spot(img.shape, cx, cy, share))
    return img + 255 * light


def screenshot(img, _):
    small = cv2.resize(img, (1440, 1080), interpolation=cv2.INTER_AREA)
    out = np.zeros((1080, 2400, 3), np.float32)
    out[:, 480:1920] = small
    cv2.putText(out, "10:24", (60, 60), cv2.FONT_HERSHEY_SIMPLEX, 1.2, (255, 255, 255), 3)
    return out


def ghost(img, px):
    """Two frames of a burst laid over each other, one shifted, in the right half."""
    moved = cv2.warpAffine(img, np.float32([[1, 0, px], [0, 1, px / 2]]), img.shape[1::-1])
    half = img.shape[1] // 2
    out = img.copy()
    out[:, half:] = (img[:, half:] + moved[:, half:]) / 2
    return out


def tone(img, strength):
    """Local contrast as night modes make it."""
    lab = cv2.cvtColor(img.astype(np.uint8), cv2.COLOR_BGR2LAB)
    lab[..., 0] = cv2.createCLAHE(strength, (8, 8)).apply(lab[..., 0])
    return cv2.cvtColor(lab, cv2.COLOR_LAB2BGR).astype(np.float32)


def cropped(img, share):
    height, width = img.shape[:2]
    w, h = 4 * round(share * width / 4), 3 * round(share * width / 4)
    x, y = (width - w) // 3, (height - h) // 3
    return img[y : y + h, x : x + w]


noise = np.random.default_rng(20261130)
changes = {
    "blur": lambda img, s: cv2.GaussianBlur(img, (0, 0), s),
    "motion": motion,
    "glare": boards_flash,
    "noise": lambda img, s: img + noise.normal(0, s, img.shape),
    "dark": lambda img, s: img * s + noise.normal(0, 4, img.shape),
    "bright": lambda img, s: img * s,
    "covered": lambda img, s: img * (1 - spot(img.shape, 0.55, 0.6, s))
    + np.float32([60, 80, 140]) * spot(img.shape, 0.55, 0.6, s),
    "smaller": lambda img, s: cv2.resize(img, None, fx=s, fy=s, interpolation=cv2.INTER_AREA),
    "cropped": cropped,
    "mirrored": lambda img, _: img[:, ::-1],
    "turned": lambda img, _: np.rot90(img),
    "half-turned": lambda img, _: img[::-1, ::-1],
    "ghost": ghost,
    "tone": tone,
    "sharpened": lambda img, s: img + s * (img - cv2.GaussianBlur(img, (0, 0), 2)),
    "screenshot": screenshot,
    "quality": lambda img, _: img,
    "exif-gone": lambda img, _: img,
    "exif-other-phone": lambda img, s: cv2.warpAffine(
        img, cv2.getRotationMatrix2D((img.shape[1] / 2, img.shape[0] / 2), 0, s), img.shape[1::-1]
    ),
}
exif_gone = {"smaller", "turned", "half-turned", "screenshot", "exif-gone", "mirrored"}


def main():
    source, target, what, strength = sys.argv[1:]
    value = float(strength)
    with open(source, "rb") as file:
        data = file.read()
    img = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR | cv2.IMREAD_IGNORE_ORIENTATION)
    out = changes[what](img.astype(np.float32), value)
    quality = int(value) if what == "quality" else 92
    pixels = np.clip(np.round(out), 0, 255).astype(np.uint8)
    _, jpeg = cv2.imencode(".jpg", pixels, [cv2.IMWRITE_JPEG_QUALITY, quality])
    jpeg = jpeg.tobytes()
    exif = b"" if what in exif_gone else exif_segment(data)
    with open(target, "wb") as file:
        file.write(jpeg[:2] + exif + jpeg[2:])


main()
