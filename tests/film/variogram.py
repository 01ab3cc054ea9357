"""What the tests of kriging need and the program does not: weights, and a variogram out of readings."""

from __future__ import annotations

import numpy as np

from bodymap.film.kriging import distances


def weights(solved, node_mm):
    """Kriging weights of the readings at one place (2) [mm], and the Lagrange multiplier."""
    covariance = solved.total - solved.model.gamma(distances(solved.xy_mm, np.asarray([node_mm], float)))[:, 0]
    half, ones = solved.half @ covariance, solved.half_ones
    multiplier = (1.0 - ones @ half) / (ones @ ones)
    return solved.half.T @ (half + multiplier * ones), float(multiplier)


def experimental(xy_mm, values, farthest_mm, bins):
    """Experimental semivariances in equal distance bins, closed on the right (the classical estimator).

    Returns:
        pairs (k), mean distance (k) [mm] and semivariance (k) of each bin that holds a pair.
    """
    first, second = np.triu_indices(len(values), 1)
    apart = np.hypot(*(xy_mm[first] - xy_mm[second]).T)
    half = 0.5 * (values[first] - values[second]) ** 2
    at = np.ceil(apart / (farthest_mm / bins)).astype(np.int64) - 1
    held = (apart <= farthest_mm) & (at >= 0)
    at, apart, half = at[held], apart[held], half[held]
    pairs = np.bincount(at, minlength=bins)[:bins]
    filled = pairs > 0
    totals = [np.bincount(at, amount, minlength=bins)[:bins][filled] for amount in (apart, half)]
    return pairs[filled], totals[0] / pairs[filled], totals[1] / pairs[filled]
