"""The network adjustment written a second time, independently, for SciPy.

Reads a problem (JSON, made by network-problem.ts), solves it with scipy.optimize.least_squares and
writes parameters and covariances. Differs from the product on purpose: rotations are turned by
Exp(w) on the left of a start rotation and w is the parameter, all observations are one vectorised
NumPy expression, the Jacobian is one sparse matrix without any elimination, and the freedom of the
bay is removed by holding the first board instead of inner constraints.
"""
import json
import sys
import time

import numpy as np
from scipy import sparse
from scipy.optimize import least_squares
from scipy.sparse.linalg import splu
from scipy.spatial.transform import Rotation


def skew(v):
    out = np.zeros(v.shape[:-1] + (3, 3))
    out[..., 0, 1] = -v[..., 2]
    out[..., 0, 2] = v[..., 1]
    out[..., 1, 0] = v[..., 2]
    out[..., 1, 2] = -v[..., 0]
    out[..., 2, 0] = -v[..., 1]
    out[..., 2, 1] = v[..., 0]
    return out


def left_jacobian(w):
    """Exp(w + d) = Exp(J d) Exp(w); series where the angle is tiny."""
    angle = np.linalg.norm(w, axis=-1)[..., None, None]
    k = skew(w)
    safe = np.where(angle < 1e-5, 1.0, angle)
    a = np.where(angle < 1e-5, 0.5 - angle**2 / 24, (1 - np.cos(safe)) / safe**2)
    b = np.where(angle < 1e-5, 1 / 6 - angle**2 / 120, (safe - np.sin(safe)) / safe**3)
    return np.eye(3) + a * k + b * (k @ k)


class Model:
    """Parameters: photos (w, t, focal, sx, sy), boards (w, t, cell, m, d, e), lens 9, print 1."""

    def __init__(self, data):
        self.data = data
        cam = data["cameras"][0]
        self.names = ["fx", "fy", "cx", "cy", "k1", "k2", "p1", "p2", "k3"]
        self.lens0 = np.array([cam["lens"][n] for n in self.names])
        self.lens_free = np.array(cam["free"], bool)
        self.prior = None if cam["priorCovariance"] is None else np.array(cam["priorCovariance"]).reshape(9, 9)
        self.focal_sd, self.shift_sd = cam["focalSd"], cam["shiftSdPx"]
        self.photo = {p["key"]: i for i, p in enumerate(data["photos"])}
        self.board = {b["key"]: i for i, b in enumerate(data["boards"])}
        self.P, self.B = len(self.photo), len(self.board)
        self.cell0 = np.array([b["cellMm"] for b in data["boards"]])
        self.cell_sd = np.array([b["cellSd"] for b in data["boards"]])
        self.bend_sd = np.array([b["bendSd"] for b in data["boards"]])
        self.on_print = np.array([b["print"] is not None for b in data["boards"]])
        self.print_sd = data["prints"][0]["scaleSd"] if data["prints"] else 0.0
        start = data["start"]
        self.R_photo = np.array([start["photos"][k]["R"] for k in self.photo]).reshape(-1, 3, 3)
        self.t_photo = np.array([start["photos"][k]["t"] for k in self.photo])
        self.R_board = np.array([start["boards"][k]["R"] for k in self.board]).reshape(-1, 3, 3)
        self.t_board = np.array([start["boards"][k]["t"] for k in self.board])
        self.size = 9 * self.P + 10 * self.B + 10
        self.at_board = 9 * self.P
        self.at_lens = 9 * self.P + 10 * self.B
        self.at_print = self.size - 1
        photo, board, grid, pixel, weight = [], [], [], [], []
        for o in data["observations"]:
            g = np.array(o["boardPoints"]).reshape(-1, 2)
            photo += [self.photo[o["photo"]]] * len(g)
            board += [self.board[o["board"]]] * len(g)
            grid.append(g)
            pixel.append(np.array(o["pixels"]).reshape(-1, 2))
            weight.append(np.full(len(g), 1 / o["sigmaPx"]))
        self.i, self.j = np.array(photo), np.array(board)
        self.grid, self.pixel = np.vstack(grid), np.vstack(pixel)
        self.weight = np.concatenate(weight)
        self.free = self.free_mask()

    def free_mask(self):
        free = np.ones(self.size, bool)
        p = free[: self.at_board].reshape(self.P, 9)
        p[:, 6] = self.focal_sd > 0
        p[:, 7:] = self.shift_sd > 0
        b = free[self.at_board : self.at_lens].reshape(self.B, 10)
        b[:, 6] = self.cell_sd > 0
        b[:, 7:] = (self.bend_sd > 0)[:, None]
        free[self.at_lens : self.at_lens + 9] = self.lens_free
        free[self.at_print] = self.print_sd > 0
        return free

    def unpack(self, x):
        full = np.zeros(self.size)
        full[self.free] = x
        p = full[: self.at_board].reshape(self.P, 9)
        b = full[self.at_board : self.at_lens].reshape(self.B, 10)
        lens = self.lens0 + full[self.at_lens : self.at_lens + 9]
        return p, b, lens, full[self.at_print]

    def poses(self, p, b):
        Rp = Rotation.from_rotvec(p[:, :3]).as_matrix() @ self.R_photo
        Rb = Rotation.from_rotvec(b[:, :3]).as_matrix() @ self.R_board
        return Rp, self.t_photo + p[:, 3:6], Rb, self.t_board + b[:, 3:6]

    def evaluate(self, x, want_jacobian):
        p, b, lens, scale = self.unpack(x)
        Rp, tp, Rb, tb = self.poses(p, b)
        i, j = self.i, self.j
        n = len(i)
        size = self.cell0 * (1 + b[:, 6]) * (1 + np.where(self.on_print, scale, 0))
        flat = self.grid * size[j][:, None]
        K = 0.5 * np.stack(
            [np.stack([b[:, 7] + b[:, 8], b[:, 9]], -1), np.stack([b[:, 9], b[:, 7] - b[:, 8]], -1)], -2
        )
        Kp = np.einsum("nab,nb->na", K[j], flat)
        z = 0.5 * np.sum(Kp * flat, 1)
        local = np.column_stack([flat - Kp * z[:, None] / 3, z])
        bay = np.einsum("nab,nb->na", Rb[j], local) + tb[j]
        cam = np.einsum("nab,nb->na", Rp[i], bay) + tp[i]
        u, v = cam[:, 0] / cam[:, 2], cam[:, 1] / cam[:, 2]
        fx, fy, cx, cy, k1, k2, p1, p2, k3 = lens
        r2 = u * u + v * v
        radial = 1 + k1 * r2 + k2 * r2**2 + k3 * r2**3
        du = u * radial + 2 * p1 * u * v + p2 * (r2 + 2 * u * u)
        dv = v * radial + p1 * (r2 + 2 * v * v) + 2 * p2 * u * v
        f = 1 + p[i, 6]
        predicted = np.column_stack([fx * f * du + cx + p[i, 7], fy * f * dv + cy + p[i, 8]])
        residual = (predicted - self.pixel) * self.weight[:, None]
        parts = [residual.ravel()]
        parts += self.statements(p, b, lens, scale, Rb, tb)
        r = np.concatenate(parts)
        if not want_jacobian:
            return r
        # Image rows.
        droot = k1 + 2 * k2 * r2 + 3 * k3 * r2**2
        D = np.empty((n, 2, 2))
        D[:, 0, 0] = radial + 2 * u * u * droot + 2 * p1 * v + 6 * p2 * u
        D[:, 0, 1] = D[:, 1, 0] = 2 * u * v * droot + 2 * p1 * u + 2 * p2 * v
        D[:, 1, 1] = radial + 2 * v * v * droot + 6 * p1 * v + 2 * p2 * u
        F = np.stack([fx * f, fy * f], -1)
        persp = np.zeros((n, 2, 3))
        persp[:, 0, 0] = persp[:, 1, 1] = 1 / cam[:, 2]
        persp[:, 0, 2], persp[:, 1, 2] = -u / cam[:, 2], -v / cam[:, 2]
        G = F[:, :, None] * (D @ persp) * self.weight[:, None, None]
        GRp = G @ Rp[i]
        J_wp = -G @ skew(cam - tp[i]) @ left_jacobian(p[:, :3])[i]
        J_wb = -GRp @ skew(bay - tb[j]) @ left_jacobian(b[:, :3])[j]
        GRb = GRp @ Rb[j]
        w = self.weight
        J_f = np.stack([fx * du * w, fy * dv * w], -1)[:, :, None]
        J_s = np.zeros((n, 2, 2))
        J_s[:, 0, 0] = J_s[:, 1, 1] = w
        size_column = np.column_stack([flat - Kp * z[:, None], 2 * z])
        J_cell = np.einsum("nab,nb->na", GRb, size_column)
        dK = 0.5 * np.array([[[1, 0], [0, 1]], [[1, 0], [0, -1]], [[0, 1], [1, 0]]], float)
        J_bend = np.empty((n, 2, 3))
        for k in range(3):
            dKp = flat @ dK[k]
            dz = 0.5 * np.sum(dKp * flat, 1)
            dl = np.column_stack([-(dz[:, None] * Kp + z[:, None] * dKp) / 3, dz])
            J_bend[:, :, k] = np.einsum("nab,nb->na", GRb, dl)
        J_lens = np.zeros((n, 2, 9))
        J_lens[:, 0, 0], J_lens[:, 1, 1] = f * du, f * dv
        J_lens[:, 0, 2] = J_lens[:, 1, 3] = 1
        for k, power in ((4, r2), (5, r2**2), (8, r2**3)):
            J_lens[:, 0, k], J_lens[:, 1, k] = fx * f * u * power, fy * f * v * power
        J_lens[:, 0, 6], J_lens[:, 1, 6] = fx * f * 2 * u * v, fy * f * (r2 + 2 * v * v)
        J_lens[:, 0, 7], J_lens[:, 1, 7] = fx * f * (r2 + 2 * u * u), fy * f * 2 * u * v
        J_lens *= w[:, None, None]
        own = J_cell / (1 + b[j, 6])[:, None]
        common = J_cell / (1 + scale) * self.on_print[j][:, None]
        block = np.concatenate(
            [J_wp, G, J_f, J_s, J_wb, GRp, own[:, :, None], J_bend, J_lens, common[:, :, None]], 2
        )
        columns = np.concatenate(
            [
                9 * i[:, None] + np.arange(9),
                self.at_board + 10 * j[:, None] + np.arange(10),
                np.broadcast_to(self.at_lens + np.arange(10), (n, 10)),
            ],
            1,
        )
        rows = np.repeat(np.arange(2 * n), 29)
        image = sparse.csr_matrix(
            (block.reshape(-1), (rows, np.repeat(columns[:, None, :], 2, 1).reshape(-1))), shape=(2 * n, self.size)
        )
        rest = self.statement_jacobian(p, b, lens, scale, Rb, tb)
        J = sparse.vstack([image, rest]).tocsc()[:, self.free]
        return r, J.tocsr()

    def statements(self, p, b, lens, scale, Rb, tb):
        parts = []
        if self.prior is not None and self.lens_free.any():
            L = np.linalg.cholesky(self.prior[np.ix_(self.lens_free, self.lens_free)])
            parts.append(np.linalg.solve(L, (lens - self.lens0)[self.lens_free]))
        if self.focal_sd > 0:
            parts.append(p[:, 6] / self.focal_sd)
        if self.shift_sd > 0:
            parts.append((p[:, 7:9] / self.shift_sd).ravel())
        on = self.cell_sd > 0
        parts.append(b[on, 6] / self.cell_sd[on])
        on = self.bend_sd > 0
        parts.append((b[on, 7:10] / (self.bend_sd[on][:, None] * np.array([1, 0.5**0.5, 0.5**0.5]))).ravel())
        if self.print_sd > 0:
            parts.append(np.array([scale / self.print_sd]))
        for length in self.data["lengths"]:
            a, c = self.board[length["from"]["board"]], self.board[length["to"]["board"]]
            parts.append(np.array([(np.linalg.norm(tb[c] - tb[a]) - length["lengthMm"]) / length["sdMm"]]))
        for floor in self.data["floor"]:
            k = self.board[floor["board"]]
            parts.append(
                np.array(
                    [
                        (tb[k, 2] - floor["heightMm"]) / floor["heightSdMm"],
                        Rb[k, 2, 0] / floor["tiltSd"],
                        Rb[k, 2, 1] / floor["tiltSd"],
                    ]
                )
            )
        # Holds the first board where it starts: what the floor leaves free, or all six.
        first = b[0, [2, 3, 4]] if self.data["floor"] else b[0, :6]
        parts.append(first * 1.0)
        return parts

    def statement_jacobian(self, p, b, lens, scale, Rb, tb):
        rows, cols, vals = [], [], []
        count = 0

        def diagonal(columns, values):
            nonlocal count
            n = len(columns)
            rows.extend(range(count, count + n)), cols.extend(columns), vals.extend(np.broadcast_to(values, n))
            count += n

        photos, boards = 9 * np.arange(self.P), self.at_board + 10 * np.arange(self.B)
        if self.prior is not None and self.lens_free.any():
            free = np.flatnonzero(self.lens_free)
            W = np.linalg.inv(np.linalg.cholesky(self.prior[np.ix_(free, free)]))
            for r in range(len(free)):
                rows.extend([count + r] * len(free)), cols.extend(self.at_lens + free), vals.extend(W[r])
            count += len(free)
        if self.focal_sd > 0:
            diagonal(photos + 6, 1 / self.focal_sd)
        if self.shift_sd > 0:
            diagonal((photos[:, None] + np.array([7, 8])).ravel(), 1 / self.shift_sd)
        on = self.cell_sd > 0
        diagonal(boards[on] + 6, 1 / self.cell_sd[on])
        on = self.bend_sd > 0
        diagonal(
            (boards[on][:, None] + np.array([7, 8, 9])).ravel(),
            (1 / (self.bend_sd[on][:, None] * np.array([1, 0.5**0.5, 0.5**0.5]))).ravel(),
        )
        if self.print_sd > 0:
            diagonal([self.at_print], 1 / self.print_sd)
        for length in self.data["lengths"]:
            a, c = self.board[length["from"]["board"]], self.board[length["to"]["board"]]
            d = tb[c] - tb[a]
            d = d / np.linalg.norm(d) / length["sdMm"]
            for k in range(3):
                rows.extend([count, count]), cols.extend([boards[c] + 3 + k, boards[a] + 3 + k]), vals.extend([d[k], -d[k]])
            count += 1
        J = left_jacobian(b[:, :3])
        for floor in self.data["floor"]:
            k = self.board[floor["board"]]
            rows.append(count), cols.append(boards[k] + 5), vals.append(1 / floor["heightSdMm"])
            for axis in range(2):
                # Third row of Exp(w) R: e_z^T (d x column) = (column x e_z)^T d.
                g = np.cross(Rb[k][:, axis], [0, 0, 1.0]) @ J[k] / floor["tiltSd"]
                rows.extend([count + 1 + axis] * 3), cols.extend(boards[k] + np.arange(3)), vals.extend(g)
            count += 3
        diagonal(boards[0] + (np.array([2, 3, 4]) if self.data["floor"] else np.arange(6)), 1.0)
        return sparse.csr_matrix((vals, (rows, cols)), shape=(count, self.size))

    def quantities(self, x):
        """Distances and relative turns between the first board and the others, in order."""
        p, b, lens, scale = self.unpack(x)
        Rp, tp, Rb, tb = self.poses(p, b)
        out = []
        for k in range(1, self.B):
            relative = Rb[0].T @ Rb[k]
            out += [*(Rb[0].T @ (tb[k] - tb[0])), *Rotation.from_matrix(relative).as_rotvec()]
        out += [*lens[self.lens_free]]
        if self.focal_sd > 0:
            out += [*p[:3, 6]]
        out += [*(self.cell0 * (1 + b[:, 6]) * (1 + np.where(self.on_print, scale, 0)))[:2]]
        return np.array(out)


# SciPy's default inner tolerances stop far from the minimum; these reach it.
LSMR = {"atol": 1e-8, "btol": 1e-8, "maxiter": 2000}
# Seconds after which the bench gives up waiting (the time is then counted low rather than high).
PATIENCE = float(sys.argv[4]) if len(sys.argv) > 4 else 1e9


class OutOfPatience(Exception):
    pass


def solve(model, dense):
    x0 = np.zeros(int(model.free.sum()))
    began = time.perf_counter()
    best = {"cost": np.inf, "x": x0, "evaluations": 0}

    def fun(x):
        r = model.evaluate(x, False)
        best["evaluations"] += 1
        if r @ r < best["cost"]:
            best.update(cost=float(r @ r), x=x.copy())
        if time.perf_counter() - began > PATIENCE:
            raise OutOfPatience
        return r

    def jac(x):
        J = model.evaluate(x, True)[1]
        return J.toarray() if dense else J

    finished = True
    try:
        if dense:
            least_squares(fun, x0, jac, method="trf", x_scale="jac", ftol=1e-13, xtol=1e-13, gtol=1e-13, max_nfev=100)
        else:
            least_squares(
                fun, x0, jac, method="trf", x_scale="jac", tr_solver="lsmr", tr_options=LSMR, ftol=1e-7, max_nfev=60
            )
    except OutOfPatience:
        finished = False
    return best, finished, time.perf_counter() - began


def covariance_of(model, result):
    """Covariance of the quantities: J (N)^-1 J^T with J by central differences."""
    x = result["x"]
    J = model.evaluate(x, True)[1]
    N = (J.T @ J).toarray()
    scale = 1 / np.sqrt(np.diag(N))
    inverse = np.linalg.inv(N * np.outer(scale, scale)) * np.outer(scale, scale)
    q0 = model.quantities(x)
    Q = np.zeros((len(q0), len(x)))
    for k in range(len(x)):
        h = max(1e-3 * scale[k] * 10, 1e-7)
        d = np.zeros(len(x))
        d[k] = h
        Q[:, k] = (model.quantities(x + d) - model.quantities(x - d)) / (2 * h)
    return Q @ inverse @ Q.T


def main():
    mode, source, target = sys.argv[1:4]
    with open(source) as f:
        model = Model(json.load(f))
    out = {}
    if mode == "compare":
        result, _, _ = solve(model, dense=True)
        cov = covariance_of(model, result)
        out = {
            "cost": result["cost"],
            "values": model.quantities(result["x"]).tolist(),
            "covariance": cov.tolist(),
        }
    else:
        result, finished, solved = solve(model, dense=False)
        began = time.perf_counter()
        J = model.evaluate(result["x"], True)[1]
        N = (J.T @ J).tocsc()
        lu = splu(N)
        boards = np.flatnonzero(model.free)
        wanted = np.flatnonzero((boards >= model.at_board) & (boards < model.at_lens) & ((boards - model.at_board) % 10 < 6))
        right = np.zeros((N.shape[0], len(wanted)))
        right[wanted, np.arange(len(wanted))] = 1
        cov = lu.solve(right)[wanted]
        out = {
            "ms": 1000 * (solved + time.perf_counter() - began),
            "solve_ms": 1000 * solved,
            "evaluations": result["evaluations"],
            "finished": finished,
            "cost": result["cost"],
            "trace": float(np.trace(cov)),
        }
        import resource

        out["peak_mb"] = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    with open(target, "w") as f:
        json.dump(out, f)


if __name__ == "__main__":
    main()
