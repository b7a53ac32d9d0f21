"""Renders the pinhole pictures (linear EXR) of the photos named on the command line.

    blender -b BUILD/bay.blend -P render.py -- samples board_samples sheet_samples [photo names or parts of names]

The surroundings are rendered at a reduced size; the printed patterns that are in sight are rendered
again at full size with more samples, since their edges are what the job measures. develop.py lays
these parts over the whole picture.
"""
import json
import os
import sys
import time

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

import bpy  # noqa: E402
import mathutils  # noqa: E402
import numpy as np  # noqa: E402

import settings as S  # noqa: E402

SURROUNDINGS_PERCENT = 55
SHEET_PLACE, SHEET_TURN = (4350.0, 3450.0, 902.0), 7.0


def matrix(pose):
    t = np.eye(4)
    t[:3, :3], t[:3, 3] = pose["rotation"], pose["translation"]
    return t


def sheet_from_vehicle():
    a = np.radians(SHEET_TURN)
    t = np.eye(4)
    t[:2, :2] = [[np.cos(a), -np.sin(a)], [np.sin(a), np.cos(a)]]
    t[:3, 3] = SHEET_PLACE
    return np.linalg.inv(t)


def page_boxes(truth, camera_from_world, sheet):
    """Boxes (left, top, right, bottom) in the pinhole picture around every page that may be seen."""
    width, height = S.RENDER_SIZE
    if sheet:
        half = (S.SHEET_COLUMNS * S.SQUARE / 2 + 6, S.SHEET_ROWS * S.SQUARE / 2 + 6)
        pages = [np.linalg.inv(sheet_from_vehicle())]
    else:
        half = (7.5 * S.NOMINAL_CELL, 7.5 * S.NOMINAL_CELL)
        pages = [matrix(b["vehicleFromBoard"]) for b in truth["boards"]]
    boxes = []
    for page in pages:
        corners = np.array([(x, y, 0, 1) for x in (-half[0], half[0]) for y in (-half[1], half[1])])
        points = (camera_from_world @ page @ corners.T)[:3]
        facing = (camera_from_world @ page)[:3]
        if points[2].min() < 100 or facing[:, 2] @ facing[:, 3] > 0:
            continue
        if not in_sight(camera_from_world, page, half):
            continue
        u = S.RENDER_FOCAL * points[0] / points[2] + (width - 1) / 2
        v = S.RENDER_FOCAL * points[1] / points[2] + (height - 1) / 2
        left, right = max(0, int(u.min()) - 6), min(width, int(u.max()) + 7)
        top, bottom = max(0, int(v.min()) - 6), min(height, int(v.max()) + 7)
        if right - left > 20 and bottom - top > 20:
            boxes.append((left, top, right, bottom))
    return boxes


def in_sight(camera_from_world, page, half):
    """Whether any of nine points of the page is hit first by a ray from the camera."""
    graph = bpy.context.evaluated_depsgraph_get()
    eye = np.linalg.inv(camera_from_world)[:3, 3] / 1000
    for x in (-0.9 * half[0], 0, 0.9 * half[0]):
        for y in (-0.9 * half[1], 0, 0.9 * half[1]):
            ray = (page @ (x, y, 0, 1))[:3] / 1000 - eye
            length = np.linalg.norm(ray)
            hit, place, *_ = bpy.context.scene.ray_cast(graph, mathutils.Vector(eye), mathutils.Vector(ray / length))
            if hit and (mathutils.Vector(eye) - place).length > length - 0.003:
                return True
    return False


def render_part(scene, rectangle, path):
    """One box of the picture with more samples; written cropped. Boxes are whole pixels."""
    (left, top, right, bottom), (width, height) = rectangle, S.RENDER_SIZE
    render = scene.render
    render.use_border = render.use_crop_to_border = True
    render.border_min_x, render.border_max_x = (left + 0.25) / width, (right + 0.25) / width
    render.border_min_y, render.border_max_y = (height - bottom + 0.25) / height, (height - top + 0.25) / height
    render.filepath = path
    bpy.ops.render.render(write_still=True)


def main():
    arguments = sys.argv[sys.argv.index("--") + 1 :]
    samples, board_samples, sheet_samples = (int(a) for a in arguments[:3])
    wanted = arguments[3:]
    with open(os.path.join(S.JOB, "truth.json"), encoding="utf-8") as file:
        truth = json.load(file)
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    scene.render.use_persistent_data = True
    cycles = scene.cycles
    cycles.use_denoising = cycles.use_adaptive_sampling = False
    cycles.max_bounces = cycles.glossy_bounces = 1
    cycles.diffuse_bounces = cycles.transmission_bounces = 0
    cycles.pixel_filter_type, cycles.filter_width = "BLACKMAN_HARRIS", 1.5
    width, height = S.RENDER_SIZE
    scene.render.resolution_x, scene.render.resolution_y = width, height
    image = scene.render.image_settings
    image.file_format, image.color_mode, image.color_depth, image.exr_codec = "OPEN_EXR", "RGB", "16", "ZIP"
    camera = bpy.data.cameras.new("phone")
    camera.sensor_fit, camera.sensor_width = "HORIZONTAL", 36.0
    camera.lens = 36.0 * S.RENDER_FOCAL / width
    camera.clip_start, camera.clip_end = 0.01, 100
    phone = bpy.data.objects.new("phone", camera)
    scene.collection.objects.link(phone)
    scene.camera = phone
    for index, photo in enumerate(truth["photos"] + truth["sheetPhotos"]):
        name = os.path.splitext(os.path.basename(photo["file"]))[0]
        if wanted and not any(w in name for w in wanted):
            continue
        if "cameraFromVehicle" in photo:
            camera_from_world = matrix(photo["cameraFromVehicle"])
        else:
            camera_from_world = matrix(photo["cameraFromSheet"]) @ sheet_from_vehicle()
        world_from_camera = np.linalg.inv(camera_from_world)
        world_from_camera[:3, 3] /= 1000
        phone.matrix_world = mathutils.Matrix((world_from_camera @ np.diag([1, -1, -1, 1])).tolist())
        cycles.seed = S.SEED % 1000 + index
        target = os.path.join(S.BUILD, "exr", name + ".exr")
        scene.render.use_file_extension = False
        started = time.time()
        cycles.samples = samples
        scene.render.use_border = False
        scene.render.resolution_percentage = SURROUNDINGS_PERCENT
        scene.render.filepath = target + ".part"
        bpy.ops.render.render(write_still=True)
        scene.render.resolution_percentage = 100
        sheet = "cameraFromSheet" in photo
        boxes = page_boxes(truth, camera_from_world, sheet)
        for number, rectangle in enumerate(boxes):
            cycles.samples = sheet_samples if sheet else board_samples
            render_part(scene, rectangle, os.path.join(S.BUILD, "exr", f"{name}.part{number}.exr"))
        with open(os.path.join(S.BUILD, "exr", name + ".json"), "w", encoding="utf-8") as file:
            json.dump(boxes, file)
        os.replace(target + ".part", target)
        print(f"RENDERED {name} {time.time() - started:.1f} s", flush=True)


os.makedirs(os.path.join(S.BUILD, "exr"), exist_ok=True)
main()
