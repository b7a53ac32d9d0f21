"""Builds the bay in Blender, bakes its light into the meshes and saves BUILD/bay.blend.

    blender -b --factory-startup -P bay.py
The bay does not move, so its light is worked out once (Cycles, many samples, several bounces) and
every photo afterwards needs only its own view of it.
"""
import json
import os
import sys
import time

sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))

import bpy  # noqa: E402
import cv2  # noqa: E402
import numpy as np  # noqa: E402

import car  # noqa: E402
import settings as S  # noqa: E402
from mesh_tools import LIGHT, box, material, rectangle, revolve, use_output  # noqa: E402

X0, X1, Y0, Y1, TOP = -6.3, 5.9, -4.4, 4.4, 3.6
FLOOR_MESH = -0.002  # the drawn floor lies 2 mm under z = 0, so that no page dips into it
SHEET_PLACE = (4.35, 3.45, 0.902)  # the camera sheet on the bench
rng = np.random.default_rng(S.SEED + 1)


def noise_texture(path, seed, fine, coarse):
    r = np.random.default_rng(seed)
    picture = np.zeros((1024, 1024))
    for sigma, weight in ((1.0, fine), (6, fine), (40, coarse), (120, coarse)):
        n = r.normal(size=picture.shape)
        spectrum = np.fft.fft2(n)
        k = np.fft.fftfreq(1024)
        spectrum *= np.exp(-2 * (np.pi * sigma) ** 2 * (k[:, None] ** 2 + k[None] ** 2))
        layer = np.fft.ifft2(spectrum).real
        picture += weight * layer / layer.std()
    cv2.imwrite(path, np.clip(190 + picture, 0, 255).astype(np.uint8))
    return path


def textured_page(name, pose, size, texture):
    """A printed page, its centre at the pose's origin. pose: rotation 3 x 3, translation in m."""
    rotation, origin = pose
    u, v = rotation[:, 0] * size[0], rotation[:, 1] * size[1]
    paper = material(name, (0.80, 0.80, 0.785), texture=texture, closest=True, dark=0.045)
    return rectangle(name, origin - u / 2 - v / 2, u, v, paper, 0.02)


def boards(truth):
    pages = []
    px = truth["print"]["cellTrue"] / S.PX_PER_CELL / 1000
    for board in truth["boards"]:
        p = board["vehicleFromBoard"]
        pages.append(textured_page(
            f"page {board['id']}", (np.array(p["rotation"]), np.array(p["translation"]) / 1000),
            (S.SHEET_PX[0] * px, S.SHEET_PX[1] * px),
            os.path.join(S.BUILD, "textures", f"board-{board['id']}.png")))
    texture = os.path.join(S.BUILD, "textures", "camera-sheet.png")
    height, width = cv2.imread(texture, 0).shape
    px = truth["print"]["sheetSquareTrue"] / S.SQUARE_PX / 1000
    pages.append(textured_page("camera sheet", (np.array(sheet_rotation()), np.array(SHEET_PLACE)),
                               (width * px, height * px), texture))
    return pages


def sheet_rotation():
    """Sheet frame to bay: lies flat, turned a little on the bench."""
    a = np.radians(7.0)
    return np.array([[np.cos(a), -np.sin(a), 0], [np.sin(a), np.cos(a), 0], [0, 0, 1]])


def shell():
    concrete = noise_texture(os.path.join(S.BUILD, "textures", "concrete.png"), 5, 5, 9)
    plaster = noise_texture(os.path.join(S.BUILD, "textures", "plaster.png"), 6, 2.0, 3.5)
    floor = rectangle("floor", (X0, Y0, FLOOR_MESH), (X1 - X0, 0, 0), (0, Y1 - Y0, 0),
                      material("floor", (0.40, 0.40, 0.39), texture=concrete, dark=0.1, scale=2.0), 0.075)
    white = material("wall", (0.66, 0.65, 0.61), texture=plaster, dark=0.3, scale=2.0)
    grey = material("wall foot", (0.16, 0.20, 0.24), texture=plaster, dark=0.3, scale=3.0)
    for name, corner, u in (
        ("left", (X0, Y1, 0), (X1 - X0, 0, 0)), ("right", (X1, Y0, 0), (X0 - X1, 0, 0)),
        ("front", (X1, Y1, 0), (0, Y0 - Y1, 0)), ("rear", (X0, Y0, 0), (0, Y1 - Y0, 0)),
    ):
        corner = np.array(corner, float)
        rectangle(f"wall foot {name}", corner + (0, 0, FLOOR_MESH), u, (0, 0, 1.1), grey)
        rectangle(f"wall {name}", corner + (0, 0, 1.1), u, (0, 0, TOP - 1.1), white)
    rectangle("ceiling", (X0, Y1, TOP), (X1 - X0, 0, 0), (0, Y0 - Y1, 0), material("ceiling", (0.55, 0.55, 0.54)))
    yellow = material("line", (0.55, 0.42, 0.06))
    lines = [rectangle(f"line {y}", (-4.6, y, FLOOR_MESH + 0.0003), (6.0, 0, 0), (0, 0.08, 0), yellow, 0.08)
             for y in (-2.35, 2.27)]
    door = material("door slat", (0.50, 0.51, 0.50))
    for k in range(20):
        box(f"slat {k}", (X0 + 0.05, 0, 0.075 + 0.15 * k), (0.05, 4.2, 0.135), door, None, 0.2)
    return [floor, *lines]


def clutter():
    red, blue = material("trolley", (0.36, 0.05, 0.03), 0.3), material("blue", (0.05, 0.11, 0.28))
    steel, wood = material("steel", (0.30, 0.31, 0.32)), material("wood", (0.34, 0.21, 0.11))
    card, black = material("card", (0.38, 0.27, 0.16)), material("rubber", (0.025, 0.025, 0.025))
    green, cream = material("green", (0.07, 0.20, 0.10)), material("cream", (0.55, 0.50, 0.38))
    # Tool trolley on the right, shelves on the left, tyres at the back.
    box("trolley", (-0.6, Y0 + 0.42, 0.52), (0.75, 0.48, 0.8), red)
    for k in range(5):
        box(f"drawer {k}", (-0.6, Y0 + 0.665, 0.22 + 0.15 * k), (0.66, 0.015, 0.125), steel)
    for x in (-3.9, -2.6, -1.3):
        box(f"post {x}", (x, Y1 - 0.45, 1.0), (0.05, 0.05, 2.0), steel)
        box(f"post back {x}", (x, Y1 - 0.05, 1.0), (0.05, 0.05, 2.0), steel)
    for z in (0.25, 0.85, 1.45, 1.98):
        box(f"shelf {z}", (-2.6, Y1 - 0.25, z), (2.65, 0.45, 0.03), steel)
        x = -3.75
        while x < -1.6:
            w, h = rng.uniform(0.18, 0.42), rng.uniform(0.14, 0.38)
            box(f"carton {z} {x:.2f}", (x + w / 2, Y1 - 0.25 + rng.uniform(-0.05, 0.03), z + 0.016 + h / 2),
                (w, 0.33, h), [card, card, blue, cream, green, steel][rng.integers(6)])
            x += w + rng.uniform(0.03, 0.2)
    for j, (x, y) in enumerate(((-5.6, -3.3), (-5.55, 3.2))):
        for k in range(4 - j):
            revolve(f"spare {j} {k}", [(0, 0.19), (0, 0.30), (0.03, 0.315), (0.17, 0.315), (0.2, 0.30), (0.2, 0.19), (0.0, 0.19)],
                    (x + rng.uniform(-0.02, 0.02), y, 0.21 * k), (0, 0, 1), [black])
    # Cabinet and tool wall at the front, bench with the camera sheet at the front left.
    box("cabinet", (X1 - 0.3, -2.6, 1.0), (0.5, 1.3, 2.0), blue)
    box("cabinet gap", (X1 - 0.552, -2.6, 1.0), (0.01, 0.012, 1.9), black)
    box("tool wall", (X1 - 0.02, 0.3, 1.85), (0.03, 2.2, 1.0), material("tool wall", (0.22, 0.23, 0.22)))
    for k in range(13):
        box(f"tool {k}", (X1 - 0.05, -0.65 + 0.16 * k, 1.9 + 0.1 * np.sin(3 * k)), (0.02, 0.035, 0.25 + 0.2 * (k % 3)),
            [steel, red, black][k % 3])
    box("bench slab", (4.35, 3.75, 0.875), (2.6, 1.2, 0.05), wood, None, 0.06)
    grain = material("grain", (0.40, 0.26, 0.15), texture=wood_texture(), dark=0.15)
    rectangle("bench top", (3.05, 3.15, 0.9005), (2.6, 0, 0), (0, 1.2, 0), grain, 0.04)
    for x, y in ((3.1, 3.2), (5.6, 3.2), (3.1, 4.3), (5.6, 4.3)):
        box(f"bench leg {x} {y}", (x, y, 0.425), (0.07, 0.07, 0.85), steel)
    revolve("mug", [(0, 0.0005), (0, 0.04), (0.095, 0.042), (0.095, 0.037), (0.01, 0.035), (0.01, 0.0005)],
            (4.60, 3.72, 0.9), (0, 0, 1), [cream], n=32)
    box("pencil", (4.16, 3.46, 0.904), (0.007, 0.17, 0.007), yellow_pencil(), None, 0.05)
    box("ruler", (4.35, 3.27, 0.9015), (0.30, 0.03, 0.002), steel, None, 0.03)
    box("vice", (4.95, 3.35, 0.98), (0.16, 0.2, 0.16), blue, None, 0.04)
    box("bin", (2.2, Y0 + 0.35, 0.3), (0.45, 0.45, 0.6), green)
    box("compressor", (3.9, Y0 + 0.45, 0.45), (1.0, 0.5, 0.5), red)
    revolve("extinguisher", [(0, 0.0005), (0, 0.075), (0.45, 0.075), (0.52, 0.03), (0.58, 0.03), (0.58, 0.0005)],
            (1.0, Y1 - 0.12, 0.9), (0, 0, 1), [red], n=24)
    box("sign", (1.0, Y1 - 0.01, 1.75), (0.3, 0.012, 0.3), red)
    box("notice", (2.1, Y1 - 0.01, 1.7), (0.6, 0.012, 0.42), cream)
    box("notice right", (-2.6, Y0 + 0.01, 1.8), (1.4, 0.012, 0.8), cream)
    box("radiator", (-4.4, Y0 + 0.1, 0.5), (1.5, 0.1, 0.6), cream)


def wood_texture():
    r = np.random.default_rng(11)
    n = r.normal(size=(1024, 2048)).astype(np.float32)
    broad = cv2.GaussianBlur(n, (0, 0), sigmaX=160, sigmaY=9)
    fine = cv2.GaussianBlur(n[::-1], (0, 0), sigmaX=45, sigmaY=1.5)
    picture = 170 + 26 * broad / broad.std() + 14 * fine / fine.std()
    picture[::128, :] -= 60  # joints between the planks
    path = os.path.join(S.BUILD, "textures", "wood.png")
    cv2.imwrite(path, np.clip(picture, 0, 255).astype(np.uint8))
    return path


def yellow_pencil():
    return material("pencil", (0.6, 0.4, 0.05))


def stand(truth):
    steel, panel = material("stand", (0.12, 0.125, 0.13)), material("panel", (0.70, 0.70, 0.69))
    ink, plate = material("panel ink", (0.04, 0.04, 0.045)), material("board back", (0.36, 0.37, 0.38))
    t = truth["target"]["vehicleFromTarget"]
    rotation, origin = np.array(t["rotation"]), np.array(t["translation"]) / 1000

    def place(p):
        return origin + rotation @ np.array(p)

    box("target panel", place((0, 0, -0.008)), (0.60, 0.46, 0.016), panel, rotation, 0.05)
    for x, y, w, h in ((-0.2, 0.12, 0.1, 0.1), (0.2, 0.12, 0.1, 0.1), (0, -0.1, 0.3, 0.08), (0, 0.12, 0.05, 0.14)):
        box(f"panel figure {x} {y}", place((x, y, 0.0003)), (w, h, 0.001), ink, rotation, 0.05)
    box("crossbar", place((0, 0.02, -0.045)), (1.30, 0.05, 0.04), steel, rotation, 0.06)
    for board in truth["boards"]:
        if board["id"] in S.STAND_IDS:
            p = board["vehicleFromBoard"]
            r, o = np.array(p["rotation"]), np.array(p["translation"]) / 1000
            box(f"stand plate {board['id']}", o - r[:, 2] * 0.0045, (0.222, 0.312, 0.008), plate, r, 0.04)
            box(f"stand arm {board['id']}", o - r[:, 2] * 0.03, (0.05, 0.05, 0.045), steel, r, 0.04)
    x, y = place((0, 0, -0.085))[:2]
    box("column", (x, y, 0.68), (0.06, 0.06, 1.25), steel, None, 0.08)
    for k in range(3):
        a = 2 * np.pi * k / 3
        out = np.array([np.cos(a), np.sin(a), 0])
        turn = np.column_stack([out, [-out[1], out[0], 0], [0, 0, 1]])
        box(f"foot {k}", np.array([x, y, 0.05]) + 0.26 * out, (0.52, 0.05, 0.04), steel, turn, 0.06)


def lamps():
    glow = material("lamp panel", (1.0, 0.98, 0.94), glow=2.2)
    for k, (x, y) in enumerate(((-4.3, -2.2), (-4.3, 2.2), (-1.3, -2.4), (-1.3, 2.4), (1.6, -2.2), (1.6, 2.3), (4.2, 0.2), (4.3, 3.1))):
        light = bpy.data.lights.new(f"lamp {k}", "AREA")
        light.shape, light.size, light.size_y = "RECTANGLE", 1.5, 0.35
        light.energy = float(105 * rng.uniform(0.8, 1.2)) * (0.6 if k == 7 else 1)
        light.color = (1.0, 0.95 + 0.03 * rng.uniform(), 0.86 + 0.1 * rng.uniform())
        obj = bpy.data.objects.new(f"lamp {k}", light)
        obj.location = (x, y, TOP - 0.12)
        bpy.context.scene.collection.objects.link(obj)
        box(f"lamp panel {k}", (x, y, TOP - 0.05), (1.5, 0.35, 0.05), glow, None, 0.4)
    light = bpy.data.lights.new("daylight", "AREA")
    light.shape, light.size, light.size_y, light.energy = "RECTANGLE", 4.0, 1.4, 130
    light.color = (0.80, 0.90, 1.0)
    obj = bpy.data.objects.new("daylight", light)
    obj.location, obj.rotation_euler = (X0 + 0.25, 0.6, 2.7), (0, np.radians(-68), 0)
    bpy.context.scene.collection.objects.link(obj)


def bake(objects, samples):
    scene = bpy.context.scene
    scene.cycles.samples = samples
    bpy.ops.object.select_all(action="DESELECT")
    for obj in objects:
        mesh = obj.data
        if LIGHT not in mesh.color_attributes:
            mesh.color_attributes.new(LIGHT, "FLOAT_COLOR", "CORNER")
        mesh.color_attributes.active_color = mesh.color_attributes[LIGHT]
        obj.select_set(True)
    bpy.context.view_layer.objects.active = objects[0]
    scene.render.bake.target = "VERTEX_COLORS"
    scene.render.bake.use_pass_direct = scene.render.bake.use_pass_indirect = True
    scene.render.bake.use_pass_color = False
    bpy.ops.object.bake(type="DIFFUSE", pass_filter={"DIRECT", "INDIRECT"}, target="VERTEX_COLORS")


def main():
    samples = int(os.environ.get("BAKE_SAMPLES", "256"))
    with open(os.path.join(S.JOB, "truth.json"), encoding="utf-8") as file:
        truth = json.load(file)
    bpy.ops.wm.read_factory_settings(use_empty=True)
    scene = bpy.context.scene
    scene.render.engine = "CYCLES"
    scene.cycles.device = "CPU"
    scene.cycles.max_bounces = scene.cycles.diffuse_bounces = 4
    scene.cycles.seed = S.SEED % 100000
    world = bpy.data.worlds.new("none")
    scene.world = world
    flat = shell()
    clutter()
    lamps()
    car.build(truth)
    stand(truth)
    pages = boards(truth)
    meshes = [o for o in scene.objects if o.type == "MESH"]
    print("meshes", len(meshes), "corners", sum(len(o.data.loops) for o in meshes), flush=True)
    started = time.time()
    # Floor and bench first, without what lies flat on them: it would leave dark rims.
    flat.append(bpy.data.objects["bench top"])
    lying = pages + [bpy.data.objects[name] for name in ("ruler", "pencil")]
    for obj in lying:
        obj.hide_render = True
    bake(flat, samples)
    for obj in lying:
        obj.hide_render = False
    rest = [o for o in meshes if o not in flat and not o.name.startswith("lamp panel")]
    bake(rest, samples)
    print(f"light baked in {time.time() - started:.0f} s", flush=True)
    for obj in list(scene.objects):
        if obj.type == "LIGHT":
            bpy.data.objects.remove(obj)
    use_output("show")
    bpy.ops.wm.save_as_mainfile(filepath=os.path.join(S.BUILD, "bay.blend"))


main()
