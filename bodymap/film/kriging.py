"""Ordinary kriging: the best unbiased guess between readings, with its standard error, for one model of their likeness.

Terms: `gamma(h)` is the semivariance of two places h apart; nugget, sill and range as usual in spatial statistics
(Isaaks & Srivastava, An Introduction to Applied Geostatistics, 1989, chapters 7 and 12). Everything is solved directly
by Cholesky factors; positions are in mm and values in any one unit, here µm.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from bodymap.errors import BodymapError
from bodymap.progress import Step, silent

Floats = NDArray[np.float64]
Kind = Literal["matern32", "exponential", "spherical", "linear"]

# Places read times nodes at once, in numbers of 8 bytes: just under the 128 KiB from which the usual allocators fetch every
# array anew from the system. That, and threads that wait for one another over larger products, took most of the time.
NUMBERS_AT_ONCE = 16_000
_NODES_LEAST = 16
# A linear model has no covariance; the kriging equations stay the same under any constant beyond its semivariances.
_BEYOND = 10.0


@dataclass(frozen=True)
class Likeness:
    """How unlike two places are, by their distance.

    Attributes:
        kind: `matern32`: sill·(1 − (1 + √3·h/r)·exp(−√3·h/r)); `exponential`: sill·(1 − exp(−h/r)); `spherical`:
            sill·(1.5·h/r − 0.5·(h/r)³) up to r; `linear`: sill·h/r, without end.
        sill: semivariance gained over the nugget [value²].
        range_mm: r above; for `exponential` a third of the practical range.
        nugget: semivariance of two readings at almost one place [value²].
    """

    kind: Kind
    sill: float
    range_mm: float
    nugget: float = 0.0

    def gamma(self, distance_mm: Floats) -> Floats:
        """Semivariance at distances > 0 [mm] in the square of the values' unit; at 0 the nugget (not 0)."""
        return self.nugget + self.sill * grown(self.kind, distance_mm / self.range_mm)


def grown(kind: Kind, h: Floats) -> Floats:
    """The share of the sill reached at distances `h`, in ranges: from 0 at 0 (`linear` goes beyond 1)."""
    if kind == "matern32":
        root = np.sqrt(3.0) * h
        return np.asarray(1.0 - (1.0 + root) * np.exp(-root))
    if kind == "exponential":
        return np.asarray(1.0 - np.exp(-h))
    if kind == "spherical":
        return np.where(h < 1.0, 1.5 * h - 0.5 * h**3, 1.0)
    return h


@dataclass(frozen=True)
class Solved:
    """The kriging equations of one set of readings, solved once for any number of places.

    `half` is the inverse of the Cholesky factor of the covariances (n × n), `total` their constant at distance 0.
    """

    xy_mm: Floats
    values: Floats
    model: Likeness
    total: float
    half: Floats
    half_ones: Floats
    half_values: Floats

    @property
    def mean(self) -> float:
        """The mean, in the values' unit, that kriging takes for the unknown one (generalised least squares)."""
        return float(self.half_ones @ self.half_values / (self.half_ones @ self.half_ones))


def solve(xy_mm: Floats, values: Floats, model: Likeness) -> Solved:
    """Set up and solve the ordinary kriging equations.

    Args:
        xy_mm: places (n, 2) [mm], no two alike; n of 2 or more.
        values: readings there (n).
        model: their likeness.

    Raises:
        BodymapError: too few places, numbers that are not finite, or two places alike without a nugget.
    """
    xy_mm, values = np.asarray(xy_mm, float), np.asarray(values, float)
    if xy_mm.shape != (len(values), 2) or len(values) < 2:
        raise BodymapError(f"kriging: found places {xy_mm.shape} with {len(values)} values; allowed: two or more, one each")
    if not (np.isfinite(xy_mm).all() and np.isfinite(values).all()):
        raise BodymapError("kriging: found a place or value that is no finite number; allowed: finite numbers")
    apart = distances(xy_mm, xy_mm)
    total = model.nugget + model.sill
    if model.kind == "linear":
        total = _BEYOND * float(model.gamma(apart).max())
    covariance = total - model.gamma(apart)
    np.fill_diagonal(covariance, total)
    try:
        half = np.linalg.inv(np.linalg.cholesky(covariance))
    except np.linalg.LinAlgError:
        half = np.full_like(covariance, np.nan)
    # an almost singular matrix passes the factor without a word, so its size is asked as well
    if not np.isfinite(half).all() or float(np.abs(half).max()) ** 2 * total > 1e12:
        raise BodymapError("kriging: found two places alike, or a likeness that tells no places apart; "
                           "allowed: places apart, or a nugget")  # fmt: skip
    return Solved(xy_mm, values, model, total, half, half.sum(axis=1), half @ values)


def krige(solved: Solved, nodes_mm: Floats, *, exact: bool = True, step: Step = silent) -> tuple[Floats, Floats]:
    """Estimate and kriging variance at places (m, 2) [mm].

    With `exact`, a place that was read gives its reading with variance 0; without, the nugget is taken for the scatter
    of the readings and smoothed away. The variance is that of one more reading there, nugget included.
    `step` is told how far it is, and may stop it.

    Returns:
        estimate (m) in the values' unit, variance (m) in its square.
    """
    nodes_mm = np.asarray(nodes_mm, float)
    estimate, variance = np.empty(len(nodes_mm)), np.empty(len(nodes_mm))
    at_once = max(_NODES_LEAST, NUMBERS_AT_ONCE // len(solved.values))
    for start in range(0, len(nodes_mm), at_once):
        step("Film surfaces", start / len(nodes_mm))
        part = slice(start, start + at_once)
        estimate[part], variance[part] = _at(solved, nodes_mm[part], exact=exact)
    return estimate, variance


def _at(solved: Solved, nodes_mm: Floats, *, exact: bool) -> tuple[Floats, Floats]:
    apart = distances(solved.xy_mm, nodes_mm)
    covariance = solved.total - solved.model.gamma(apart)
    if exact:  # a reading is no average: at its very place nothing of it is noise
        covariance[apart == 0.0] = solved.total
    half = solved.half @ covariance
    ones = solved.half_ones
    rest = (1.0 - ones @ half) / (ones @ ones)
    estimate = half.T @ solved.half_values + rest * (ones @ solved.half_values)
    variance = solved.total - np.einsum("ij,ij->j", half, half) + rest**2 * (ones @ ones)
    return estimate, np.maximum(variance, 0.0)


def leave_one_out(solved: Solved) -> tuple[Floats, Floats]:
    """Error and kriging variance at each reading if it were left out, in closed form.

    Dubrule, Mathematical Geology 15 (1983) 687–699 (from memory, not seen): with P the upper left block of the inverse
    of the bordered matrix, error = (P·z) / diag P (reading less estimate) and variance = 1 / diag P.
    """
    inverse = solved.half.T @ solved.half
    column = inverse.sum(axis=1)
    inner = inverse - np.outer(column, column) / column.sum()
    spread = np.diag(inner)
    return (inner @ solved.values) / spread, 1.0 / spread


def distances(a_mm: Floats, b_mm: Floats) -> Floats:
    """Distances (n, m) [mm] of places (n, 2) from places (m, 2)."""
    across, up = a_mm[:, 0, None] - b_mm[None, :, 0], a_mm[:, 1, None] - b_mm[None, :, 1]
    across *= across
    up *= up
    across += up
    return np.asarray(np.sqrt(across, out=across))


def merged(xy_mm: Floats, values: Floats, within_mm: float) -> tuple[Floats, Floats, NDArray[np.int64]]:
    """Places nearer to one another than `within_mm`, and what joins them, averaged to one.

    Returns:
        places (k, 2) [mm], mean values (k), number of readings of each (k), in the order of their first reading.
    """
    group = np.arange(len(values))
    apart = distances(xy_mm, xy_mm)
    near = (apart < within_mm) | (apart == 0.0)
    for one in range(len(values)):
        joined = np.isin(group, group[near[one]])
        group[joined] = group[joined].min(initial=group[one])
    _, member, count = np.unique(group, return_inverse=True, return_counts=True)
    places = np.column_stack([np.bincount(member, xy_mm[:, axis]) for axis in (0, 1)]) / count[:, None]
    return places, np.bincount(member, values) / count, count


def fit_matern(xy_mm: Floats, values: Floats, nugget_least: float, step: Step = silent) -> Likeness:
    """The Matérn 3/2 model of greatest likelihood on a small grid of ranges, sills and nuggets.

    The mean is unknown (generalised least squares). One eigenvalue problem to a range serves every sill and nugget.

    Args:
        xy_mm: places (n, 2) [mm].
        values: readings there (n).
        nugget_least: least nugget [value²], the square of the gauge's repeatability; greater than 0.
        step: is told how far it is; what it raises stops the work.
    """
    apart = distances(xy_mm, xy_mm)
    variance = max(float(values.var()), nugget_least)
    widest = float(apart.max())
    sills = variance * np.geomspace(0.1, 8.0, 12)
    nuggets = np.unique(np.concatenate([[nugget_least], np.geomspace(nugget_least, max(variance, nugget_least), 10)]))
    best, model = -np.inf, Likeness("matern32", variance, widest or 1.0, nugget_least)
    ranges = widest * np.geomspace(0.05, 2.0, 14) if widest > 0 else ()
    for number, range_mm in enumerate(ranges):
        step("Film surfaces", number / len(ranges))
        likelihood = _likelihoods(1.0 - grown("matern32", apart / range_mm), values, sills, nuggets)
        at = np.unravel_index(int(np.argmax(likelihood)), likelihood.shape)
        if likelihood[at] > best:
            best = float(likelihood[at])
            model = Likeness("matern32", float(sills[at[0]]), float(range_mm), float(nuggets[at[1]]))
    return model


def _likelihoods(correlation: Floats, values: Floats, sills: Floats, nuggets: Floats) -> Floats:
    """Log likelihood (sills × nuggets), but for a constant, of values with this correlation (n × n)."""
    eigen, basis = np.linalg.eigh(correlation)
    ones, turned = basis.sum(axis=0), basis.T @ values
    spread = sills[:, None, None] * np.maximum(eigen, 0.0) + nuggets[None, :, None]
    mean = (ones * turned / spread).sum(axis=2) / (ones**2 / spread).sum(axis=2)
    rest = turned - mean[:, :, None] * ones
    return np.asarray(-0.5 * (np.log(spread) + rest**2 / spread).sum(axis=2))
