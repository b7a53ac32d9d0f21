"""Decision figures by SciPy and NumPy, written from the definitions. JSON in, JSON out."""

import json
import sys

import numpy as np
from scipy import integrate, stats


def probability(value, sd, lower, upper):
    """JCGM 106, 7.4, open limits as None."""
    high = 1.0 if upper is None else stats.norm.cdf(upper, value, sd)
    low = 0.0 if lower is None else stats.norm.cdf(lower, value, sd)
    return high - low


def risks(process_sd, sd, lower, upper, accept_lower, accept_upper):
    """JCGM 106, 9.5: joint density of true and measured value, integrated twice."""

    def joint(measured, true):
        return stats.norm.pdf(true, 0, process_sd) * stats.norm.pdf(measured, true, sd)

    def over(a, b):
        return integrate.dblquad(joint, a, b, accept_lower, accept_upper, epsabs=1e-10)[0]

    reach = 9 * process_sd
    consumer = over(-reach, lower) + over(upper, reach)
    inside = stats.norm.cdf(upper, 0, process_sd) - stats.norm.cdf(lower, 0, process_sd)
    return [consumer, inside - over(lower, upper)]


def congruency(differences, cofactor, motions, stable, dimension):
    """d' Q+ d of the stable points, with motions removed by least squares over them."""
    places = [dimension * i + k for i in stable for k in range(dimension)]
    d = np.array(differences)[places]
    n = len(differences)
    q = np.array(cofactor).reshape(n, n)[np.ix_(places, places)]
    g = np.array(motions)[:, places].T
    project = np.eye(len(places)) - g @ np.linalg.pinv(g)
    d = project @ d
    q = project @ q @ project.T
    return [float(d @ np.linalg.pinv(q, rcond=1e-9) @ d), int(np.linalg.matrix_rank(q, tol=1e-9 * np.linalg.norm(q)))]


def main():
    cases = json.load(sys.stdin)
    json.dump(
        {
            "probability": [probability(*c) for c in cases["probability"]],
            "risks": [risks(*c) for c in cases["risks"]],
            "congruency": [congruency(**c) for c in cases["congruency"]],
        },
        sys.stdout,
    )


main()
