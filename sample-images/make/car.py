"""An invented hatchback: lofted lower body with wheel arches, greenhouse, wheels and trim."""
import bpy
import numpy as np

from mesh_tools import box, material, mesh_object, revolve

# Lower body: x, half width, underside, shoulder height, height in the middle.
STATIONS = [
    (0.87, 0.60, 0.31, 0.52, 0.58), (0.83, 0.72, 0.24, 0.64, 0.70), (0.62, 0.83, 0.19, 0.73, 0.82),
    (0.20, 0.868, 0.18, 0.80, 0.90), (-0.30, 0.872, 0.18, 0.86, 0.97), (-0.95, 0.875, 0.18, 0.90, 0.98),
    (-1.70, 0.875, 0.18, 0.92, 0.99), (-2.40, 0.872, 0.18, 0.94, 1.00), (-2.95, 0.855, 0.20, 0.95, 1.00),
    (-3.22, 0.80, 0.25, 0.93, 0.98), (-3.29, 0.70, 0.33, 0.85, 0.92),
]


def section(x, w, low, shoulder, top):
    half = [(0.0, low), (0.55 * w, low), (0.93 * w, low + 0.01), (0.985 * w, low + 0.10),
            (w, 0.45 * low + 0.55 * shoulder), (0.985 * w, shoulder - 0.03), (0.93 * w, shoulder + 0.02),
            (0.5 * w, top - 0.02), (0.0, top)]
    ring = half + [(-y, z) for y, z in reversed(half[1:-1])]
    return [(x, y, z) for y, z in ring]


def lower_body(paint, plastic, wheels):
    rings = [section(*s) for s in STATIONS]
    n = len(rings[0])
    vertices = [p for ring in rings for p in ring]
    faces, indices = [], []
    for s in range(len(rings) - 1):
        for k in range(n):
            a, b = s * n + k, s * n + (k + 1) % n
            faces.append((a, b, b + n, a + n))
            low = k in (0, 1, 2, n - 1, n - 2, n - 3)
            indices.append(1 if low else 0)
    for s, order in ((0, range(n)), (len(rings) - 1, range(n))):
        centre = len(vertices)
        vertices.append(tuple(np.mean(rings[s], axis=0)))
        for k in order:
            a, b = s * n + k, s * n + (k + 1) % n
            faces.append((b, a, centre) if s == 0 else (a, b, centre))
            indices.append(1 if k in (0, 1, 2, 3, n - 1, n - 2, n - 3, n - 4) else 0)
    body = mesh_object("lower body", vertices, faces, [paint, plastic], indices, smooth=True, outward=True)
    smooth = body.modifiers.new("smooth", "SUBSURF")
    smooth.levels = smooth.render_levels = 3
    for name, wheel in wheels.items():
        centre = np.array(wheel["centre"]) / 1000
        side = 1 if centre[1] > 0 else -1
        cutter = revolve(f"arch {name}", [(0, 0.0001), (0, 0.375), (0.5, 0.375), (0.5, 0.0001)],
                         (centre[0], side * 0.58, centre[2] + 0.01), (0, side, 0), [plastic, plastic])
        cut = body.modifiers.new("arch", "BOOLEAN")
        cut.operation, cut.object, cut.solver = "DIFFERENCE", cutter, "EXACT"
        cutter.hide_render = True
    return apply_modifiers(body)


def apply_modifiers(obj):
    mesh = bpy.data.meshes.new_from_object(obj.evaluated_get(bpy.context.evaluated_depsgraph_get()))
    obj.modifiers.clear()
    obj.data = mesh
    for other in list(bpy.data.objects):
        if other.name.startswith("arch "):
            bpy.data.objects.remove(other)
    return obj


def greenhouse(paint, glass):
    """Three-quarter outline at belt and roof height, ruled between; panes are faces of dark glass."""
    across = (-0.97, -0.9, -0.3, 0.3, 0.9, 0.97)
    along = (0.03, 0.10, 0.40, 0.44, 0.72, 0.77, 0.93, 0.98)
    pillars = {2, 4, 6}

    def outline(front, rear, half, bulge):
        points = [(front + bulge * (1 - abs(a) ** 3) - 0.0, -half * a) for a in across]
        points += [(front + (rear - front) * s, -half * (1 + 0.02 * np.sin(np.pi * s))) for s in along]
        points += [(rear - 0.5 * bulge * (1 - abs(a) ** 3), half * a) for a in across]
        points += [(front + (rear - front) * s, half * (1 + 0.02 * np.sin(np.pi * s))) for s in reversed(along)]
        return points

    levels = [(0.0, 0.90), (0.06, 0.97), (0.30, 1.09), (0.62, 1.25), (0.88, 1.38), (1.0, 1.445)]
    rings = []
    for s, z in levels:
        rings.append([(x, y, z) for x, y in outline(-0.22 - 0.86 * s, -3.2 + 0.40 * s, 0.80 - 0.19 * s ** 1.2, 0.10)])
    n = len(rings[0])
    vertices = [p for r in rings for p in r]
    first = len(across)
    faces, indices = [], []
    for s in range(len(rings) - 1):
        for k in range(n):
            a, b = s * n + k, s * n + (k + 1) % n
            faces.append((a, a + n, b + n, b))
            front = 0 < k < first - 2 or k == 0 or k == first - 2
            left_right = first <= k < first + 7 or 2 * first + 8 <= k < 2 * first + 15
            position = k - first if k < 2 * first + 8 else 6 - (k - (2 * first + 8))
            rear = first + 8 <= k < 2 * first + 8 - 1
            is_glass = 1 <= s <= 3 and (front or rear or (left_right and position not in pillars))
            indices.append(1 if is_glass else 0)
    roof = [(x * 0.985 - 0.03, y * 0.9, 1.475) for x, y, _ in rings[-1]]
    start = len(vertices)
    vertices += roof
    for k in range(n):
        a, b = start - n + k, start - n + (k + 1) % n
        faces.append((a, a + n, b + n, b))
        indices.append(0)
    middle = len(vertices)
    vertices.append((-1.95, 0, 1.50))
    for k in range(n):
        faces.append((start + k, middle, start + (k + 1) % n))
        indices.append(0)
    shell = mesh_object("greenhouse", vertices, faces, [paint, glass], indices, outward=True)
    fine = shell.modifiers.new("fine", "SUBSURF")
    fine.subdivision_type, fine.levels, fine.render_levels = "SIMPLE", 2, 2
    return apply_modifiers(shell)


def wheel(name, data, mats):
    tyre, rim, dark, metal = mats
    centre, axis = np.array(data["centre"]) / 1000, np.array(data["spindleAxisOutward"])
    radius = centre[2] + 0.001
    revolve(f"tyre {name}", [(-0.1, 0.15), (-0.1, radius - 0.02), (-0.08, radius), (0.08, radius),
                             (0.1, radius - 0.025), (0.098, 0.205), (0.085, 0.20), (0.05, 0.19),
                             (0.045, 0.06), (0.075, 0.05), (0.075, 0.0005)],
            centre, axis, [tyre, rim, dark], [0, 0, 0, 0, 0, 1, 1, 2, 1, 1])
    forward = np.cross((0, 0, 1), axis)
    for k in range(5):
        a = 2 * np.pi * k / 5 + 0.3
        out = np.cos(a) * forward + np.sin(a) * np.array([0, 0, 1.0])
        turn = np.column_stack([out, np.cross(axis, out), axis])
        box(f"spoke {name} {k}", centre + axis * 0.062 + out * 0.125, (0.15, 0.045, 0.02), rim, turn, 0.05)


def plate_holder(name, data, plate_pose, mats):
    """The plate behind the printed page and the three arms that hold it on the wheel."""
    aluminium, dark = mats
    rotation, origin = plate_pose
    axis, centre = np.array(data["spindleAxisOutward"]), np.array(data["centre"]) / 1000
    box(f"plate {name}", origin - rotation[:, 2] * 0.0035, (0.222, 0.312, 0.006), aluminium, rotation, 0.04)
    revolve(f"hub {name}", [(0.075, 0.04), (0.155, 0.04)], centre, axis, [dark])
    forward = np.cross((0, 0, 1), axis)
    for k in range(3):
        a = 2 * np.pi * k / 3 + np.pi / 2
        out = np.cos(a) * forward + np.sin(a) * np.array([0, 0, 1.0])
        turn = np.column_stack([out, np.cross(axis, out), axis])
        box(f"arm {name} {k}", centre + axis * 0.135 + out * 0.12, (0.24, 0.025, 0.012), dark, turn, 0.05)
        box(f"claw {name} {k}", centre + axis * 0.115 + out * 0.24, (0.02, 0.03, 0.06), dark, turn, 0.05)


def ellipsoid(name, centre, radii, mat, n=24):
    vertices = [np.array(centre) + np.array(radii) * (np.cos(t) * np.cos(a), np.cos(t) * np.sin(a), np.sin(t))
                for t in np.linspace(-np.pi / 2 + 0.01, np.pi / 2 - 0.01, 12) for a in np.arange(n) * 2 * np.pi / n]
    faces = [(i * n + k, i * n + (k + 1) % n, (i + 1) * n + (k + 1) % n, (i + 1) * n + k)
             for i in range(11) for k in range(n)]
    return mesh_object(name, vertices, faces, [mat], smooth=True, outward=True)


def trim(paint, plastic, glass, seam, chrome):
    lamp, red = material("lamp", (0.42, 0.45, 0.47), 0.5), material("tail lamp", (0.45, 0.02, 0.02), 0.5)
    for side in (1, -1):
        ellipsoid(f"headlamp {side}", (0.70, side * 0.60, 0.655), (0.15, 0.17, 0.075), lamp)
        ellipsoid(f"tail lamp {side}", (-3.19, side * 0.68, 0.83), (0.10, 0.13, 0.11), red)
        ellipsoid(f"mirror {side}", (-0.62, side * 0.95, 0.99), (0.07, 0.10, 0.07), paint)
        for x, low in ((-0.47, 0.30), (-1.42, 0.26), (-2.18, 0.62)):
            box(f"seam {x} {side}", (x, side * 0.868, (low + 0.9) / 2), (0.007, 0.012, 0.9 - low), seam, None, 0.1)
        for x in (-1.27, -2.03):
            box(f"handle {x} {side}", (x, side * 0.876, 0.80), (0.17, 0.03, 0.025), plastic, None, 0.06)
        box(f"sill {side}", (-1.3, side * 0.862, 0.235), (1.75, 0.03, 0.05), plastic, None, 0.1)
    box("grille", (0.845, 0, 0.40), (0.06, 0.85, 0.10), plastic, None, 0.08)
    box("number plate front", (0.878, 0, 0.50), (0.012, 0.50, 0.105), chrome, None, 0.06)
    box("number plate rear", (-3.292, 0, 0.62), (0.012, 0.50, 0.105), chrome, None, 0.06)
    box("bumper rear", (-3.24, 0, 0.42), (0.12, 1.35, 0.14), plastic, None, 0.08)


def build(truth):
    paint = material("paint", (0.045, 0.17, 0.21), 0.5)
    plastic, glass = material("plastic", (0.03, 0.03, 0.032)), material("glass", (0.015, 0.018, 0.02), 0.5)
    tyre, rim = material("tyre", (0.022, 0.022, 0.023)), material("rim", (0.42, 0.43, 0.44))
    dark, aluminium = material("dark metal", (0.05, 0.05, 0.055)), material("aluminium", (0.36, 0.37, 0.38))
    wheels = truth["vehicle"]["wheels"]
    poses = {b["id"]: b["vehicleFromBoard"] for b in truth["boards"]}
    lower_body(paint, plastic, wheels)
    greenhouse(paint, glass)
    for name, data in wheels.items():
        wheel(name, data, (tyre, rim, dark, aluminium))
        p = poses[data["boardId"]]
        plate_holder(name, data, (np.array(p["rotation"]), np.array(p["translation"]) / 1000), (aluminium, dark))
    trim(paint, plastic, glass, material("seam", (0.008, 0.02, 0.025)), material("plate white", (0.6, 0.6, 0.55)))
