"""A rolling-shutter bundle adjustment written independently for SciPy.

Model after Duchamp, Ait-Aider, Royer and Lavest, "A rolling shutter compliant method for localisation
and reconstruction" (VISAPP 2015): photos independent of each other, each with a pose and a velocity,
six numbers more than for a global shutter. Here the pose is that of the middle row, and turn and shift
are those from the first to the last row. Unlike the product: finite rotations for every row, the row
of a point from its predicted place, rotation vectors on the left, differences for derivatives, the
first board held.

Invents a scene, draws its observations, solves it and writes both (JSON, mm, px, rad).
"""
import json
import sys

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

F, CX, CY, WIDTH, HEIGHT = 3000.0, 2015.5, 1511.5, 4032, 3024
CELL, SIGMA = 13.0, 0.02
TURN_SD, SHIFT_SD = np.radians(0.02), 0.3
rng = np.random.default_rng(12)

grid = np.array([[x, y] for y in (-6, -2, 2, 6) for x in (-6, -2, 2, 6)], float)
on_board = np.column_stack([grid * CELL, np.zeros(len(grid))])


def look_at(eye, target, roll):
    z = (target - eye) / np.linalg.norm(target - eye)
    x = np.cross(z, [0, 0, 1.0])
    x /= np.linalg.norm(x)
    y = np.cross(z, x)
    r = Rotation.from_euler("z", -roll).as_matrix() @ np.array([x, y, z])
    return r, -r @ eye


def place(points, rot, shift, turn, move, rows, rounds):
    """Pixels of points in the bay, one camera per point; `rows` is where they are thought to be."""
    middle = np.einsum("nij,nj->ni", rot, points) + shift
    for _ in range(rounds):
        t = ((rows + 0.5) / HEIGHT - 0.5)[:, None]
        at = Rotation.from_rotvec(t * turn).apply(middle) + t * move
        u = F * at[:, 0] / at[:, 2] + CX
        v = F * at[:, 1] / at[:, 2] + CY
        rows = v
    return np.column_stack([u, v])


boards = []
for i in range(7):
    upright = i % 2 == 1
    base = np.array([[0, 0, -1], [1, 0, 0], [0, -1, 0]], float).T if upright else np.eye(3)
    base = np.array([[0, 0, -1.0], [-1, 0, 0], [0, 1, 0]]) if upright else base
    wobble = Rotation.from_rotvec(rng.normal(0, 0.1, 3)).as_matrix()
    boards.append((base @ wobble, np.array([rng.uniform(-900, 900), rng.uniform(-700, 700), 500.0 if upright else 0.0])))

photos, seen = [], []
for k in range(9):
    angle = np.pi + rng.uniform(-1.2, 1.2)
    eye = np.array([1900 * np.cos(angle), 1900 * np.sin(angle), rng.uniform(1100, 1700)])
    rot, shift = look_at(eye, rng.normal(0, 120, 3) + [0, 0, 200], np.pi / 2 * (k % 3 == 0) + rng.normal(0, 0.1))
    turn, move = rng.normal(0, np.radians(0.02), 3), rng.normal(0, 0.2, 3)
    photos.append((rot, shift, turn, move))
    for b, (rb, tb) in enumerate(boards):
        if (rot @ rb)[2, 2] > -0.3:
            continue
        each = lambda value: np.broadcast_to(value, (len(grid), *value.shape))
        points, start = on_board @ rb.T + tb, np.full(len(grid), HEIGHT / 2)
        exact = place(points, each(rot), each(shift), each(turn), each(move), start, 8)
        if exact.min() < 20 or exact[:, 0].max() > WIDTH - 20 or exact[:, 1].max() > HEIGHT - 20:
            continue
        seen.append((k, b, exact + rng.normal(0, SIGMA, exact.shape)))

P, B = len(photos), len(boards)


def unpack(x):
    cameras = x[: 12 * P].reshape(P, 12)
    moved = np.vstack([np.zeros(6), x[12 * P :].reshape(B - 1, 6)])
    return cameras, moved


def board_pose(b, d):
    rb, tb = boards[b]
    return Rotation.from_rotvec(d[:3]).as_matrix() @ rb, tb + d[3:]


of_photo = np.repeat([k for k, _, _ in seen], len(grid))
of_board = np.repeat([b for _, b, _ in seen], len(grid))
printed = np.tile(on_board, (len(seen), 1))
observed = np.vstack([pixels for _, _, pixels in seen])


def residuals(x):
    cameras, moved = unpack(x)
    poses = [board_pose(b, moved[b]) for b in range(B)]
    board_rot, board_at = np.array([p[0] for p in poses]), np.array([p[1] for p in poses])
    points = np.einsum("nij,nj->ni", board_rot[of_board], printed) + board_at[of_board]
    rot = Rotation.from_rotvec(cameras[:, :3]).as_matrix() @ np.array([p[0] for p in photos])
    shift = np.array([p[1] for p in photos]) + cameras[:, 3:6]
    predicted = place(
        points, rot[of_photo], shift[of_photo], cameras[of_photo, 6:9], cameras[of_photo, 9:], observed[:, 1], 2
    )
    return np.concatenate(
        [
            ((predicted - observed) / SIGMA).ravel(),
            (cameras[:, 6:9] / TURN_SD).ravel(),
            (cameras[:, 9:] / SHIFT_SD).ravel(),
        ]
    )


scale = np.concatenate([np.tile([1e-3] * 3 + [1] * 3 + [1e-4] * 3 + [0.1] * 3, P), np.tile([1e-3] * 3 + [1] * 3, B - 1)])
solved = least_squares(residuals, np.zeros(12 * P + 6 * (B - 1)), jac="3-point", x_scale=scale, xtol=1e-14, ftol=1e-14, gtol=1e-12)
covariance = np.linalg.inv(solved.jac.T @ solved.jac)
cameras, moved = unpack(solved.x)
sd = np.sqrt(np.diag(covariance))

r0, t0 = boards[0]
answer = {
    "cost": float(2 * solved.cost),
    "turns": cameras[:, 6:9].tolist(),
    "turnSds": sd[: 12 * P].reshape(P, 12)[:, 6:9].tolist(),
    # Places of the other boards in the frame of the first one, which is held.
    "places": [(r0.T @ (board_pose(b, moved[b])[1] - t0)).tolist() for b in range(1, B)],
    "placeSds": [
        np.sqrt(np.diag(r0.T @ covariance[12 * P + 6 * b + 3 : 12 * P + 6 * b + 6, 12 * P + 6 * b + 3 : 12 * P + 6 * b + 6] @ r0)).tolist()
        for b in range(B - 1)
    ],
}
json.dump(
    {
        "lens": {"fx": F, "fy": F, "cx": CX, "cy": CY},
        "height": HEIGHT,
        "cellMm": CELL,
        "sigmaPx": SIGMA,
        "turnSd": TURN_SD,
        "shiftSdMm": SHIFT_SD,
        "grid": grid.ravel().tolist(),
        "trueTurns": [list(p[2]) for p in photos],
        "seen": [{"photo": k, "board": b, "pixels": pixels.ravel().tolist()} for k, b, pixels in seen],
        "answer": answer,
    },
    open(sys.argv[1], "w"),
)
