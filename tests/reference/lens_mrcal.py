"""Debian's mrcal on grid points of a flat sheet: lens fit, photos left out, projection uncertainty.

Argument: a file with JSON {"width", "height", "columns", "rows", "focal": a first guess, "sigma": px,
"views": [[x, y, weight] row by row of the grid, from the top left], "points": [[x, y, z]] in squares,
camera frame}. Output: JSON. Lengths are squares of the sheet. Method: mrcal 2.2, "Noise modeling and
projection uncertainty" (mean-frames).
"""
import json
import sys

import cv2
import mrcal
import numpy as np

MODEL = "LENSMODEL_OPENCV5"


def board(columns, rows):
    """Places of the grid as mrcal has them: x along the columns, y along the rows."""
    x, y = np.meshgrid(np.arange(columns, dtype=float), np.arange(rows, dtype=float))
    return np.stack([x, y, np.zeros_like(x)], axis=-1)


def first_pose(view, task):
    camera = np.array(
        [
            [task["focal"], 0, (task["width"] - 1) / 2],
            [0, task["focal"], (task["height"] - 1) / 2],
            [0, 0, 1],
        ]
    )
    seen = view[..., 2] > 0
    places = board(task["columns"], task["rows"])[seen]
    ok, r, t = cv2.solvePnP(places, np.ascontiguousarray(view[seen][:, :2]), camera, None)
    assert ok
    return np.concatenate([r.ravel(), t.ravel()])


def fit(views, task, intrinsics=None):
    """Optimisation inputs at the solution, and the root mean square of the residuals' coordinates."""
    start = [task["focal"], task["focal"], (task["width"] - 1) / 2, (task["height"] - 1) / 2]
    free = intrinsics is None
    lens = np.array(start + [0] * 5 if free else intrinsics, float)[np.newaxis]
    inputs = dict(
        lensmodel=MODEL,
        intrinsics=lens,
        extrinsics_rt_fromref=np.zeros((0, 6)),
        frames_rt_toref=np.array([first_pose(view, task) for view in views]),
        points=None,
        observations_board=views.copy(),
        indices_frame_camintrinsics_camextrinsics=np.array(
            [[i, 0, -1] for i in range(len(views))], dtype=np.int32
        ),
        observations_point=None,
        indices_point_camintrinsics_camextrinsics=None,
        imagersizes=np.array([[task["width"], task["height"]]], dtype=np.int32),
        calibration_object_spacing=1.0,
        do_optimize_intrinsics_core=free,
        do_optimize_intrinsics_distortions=free,
        do_optimize_extrinsics=True,
        do_optimize_frames=True,
        do_optimize_calobject_warp=False,
        do_apply_outlier_rejection=False,
        do_apply_regularization=False,
        verbose=False,
    )
    stats = mrcal.optimize(**inputs)
    count = 2 * int((views[..., 2] > 0).sum())
    return inputs, float(np.sqrt((stats["x"] ** 2).sum() / count))


def main():
    task = json.load(open(sys.argv[1]))
    shape = (task["rows"], task["columns"], 3)
    views = np.array([np.reshape(view, shape) for view in task["views"]], float)
    inputs, rms = fit(views, task)
    half, half_rms = fit(views[0::2], task)
    _, left_out = fit(views[1::2], task, half["intrinsics"][0])
    model = mrcal.cameramodel(optimization_inputs=inputs, icam_intrinsics=0)
    covariances = mrcal.projection_uncertainty(
        np.array(task["points"], float),
        model,
        what="covariance",
        observed_pixel_uncertainty=task["sigma"],
    )
    json.dump(
        {
            "lens": inputs["intrinsics"][0].tolist(),
            "rms": rms,
            "halfLens": half["intrinsics"][0].tolist(),
            "halfRms": half_rms,
            "leftOut": left_out,
            "covariances": covariances.reshape(-1, 4).tolist(),
        },
        sys.stdout,
    )


main()
