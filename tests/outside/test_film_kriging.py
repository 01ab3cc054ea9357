"""Kriging and variograms against worked examples, a published data set and another library.

Meuse: `meuse.txt` in the installed package scikit-gstat (GPL-3 data in an MIT package: read where it lies, never copied);
Pebesma & Bivand, R News 5 (2005) 9–13. Its published variogram and fit are those of the R package gstat.
"""

from __future__ import annotations

import csv
import importlib.util
import warnings
from pathlib import Path

import numpy as np
import pytest

from bodymap.film.kriging import Likeness, fit_matern, grown, krige, leave_one_out, solve
from tests.film.variogram import experimental, weights

# Isaaks & Srivastava, An Introduction to Applied Geostatistics (1989), chapter 12; data from memory, every number worked
# out again. C(h) = 10 exp(−0.3 h), target (65, 137).
ISAAKS = np.array(
    [[61, 139, 477], [63, 140, 696], [64, 129, 227], [68, 128, 646], [71, 140, 606], [73, 141, 791], [75, 128, 783]], float
)
ISAAKS_MODEL = Likeness("exponential", 10.0, 1 / 0.3)

# Published spherical fit to log(zinc): nugget, partial sill, range (r-spatial, Fitting variogram models in gstat, 2016).
PUBLISHED = Likeness("spherical", 0.59060780, 897.0209, 0.05066243)

# Published experimental variogram of log(zinc), gstat defaults (repository r-spatial/gstat, tests/variogram.Rout.save).
VARIOGRAM = """57 79.29244 0.1234479
299 163.97367 0.2162185
419 267.36483 0.3027859
457 372.73542 0.4121448
547 478.47670 0.4634128
533 585.34058 0.5646933
574 693.14526 0.5689683
564 796.18365 0.6186769
589 903.14650 0.6471479
543 1011.29177 0.6915705
500 1117.86235 0.7033984
477 1221.32810 0.6038770
452 1329.16407 0.6517158
457 1437.25620 0.5665318
415 1543.20248 0.5748227"""


@pytest.fixture(scope="module")
def meuse():
    """Places [m] and log(zinc) of the Meuse data."""
    spec = importlib.util.find_spec("skgstat")
    if spec is None or not spec.submodule_search_locations:
        pytest.skip("scikit-gstat is not installed")
    path = Path(spec.submodule_search_locations[0]) / "data" / "samples" / "meuse.txt"
    if not path.exists():
        pytest.skip("this scikit-gstat carries no Meuse data")
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 155
    return np.array([[float(row["x"]), float(row["y"])] for row in rows]), np.log([float(row["zinc"]) for row in rows])


@pytest.fixture(scope="module")
def variogram(meuse):
    xy, values = meuse
    cutoff = np.hypot(*np.ptp(xy, axis=0)) / 3
    assert cutoff == pytest.approx(1596.62, abs=0.005)
    return experimental(xy, values, cutoff, 15)


def test_isaaks_and_srivastava_chapter_12():
    solved = solve(ISAAKS[:, :2], ISAAKS[:, 2], ISAAKS_MODEL)
    estimate, variance = krige(solved, np.array([[65.0, 137.0]]))
    assert estimate[0] == pytest.approx(592.7, abs=0.05)
    assert variance[0] == pytest.approx(8.96, abs=0.005)
    shares, multiplier = weights(solved, np.array([65.0, 137.0]))
    assert shares == pytest.approx([0.173, 0.318, 0.129, 0.086, 0.151, 0.057, 0.086], abs=0.0005)
    assert shares.sum() == pytest.approx(1.0)
    assert multiplier == pytest.approx(0.907, abs=0.0005)


def test_kitanidis_example_3_2():
    # Kitanidis, Introduction to Geostatistics (1997), example 3.2: γ(h) = 0.1 + 0.006 h (also in PyKrige's test suite).
    solved = solve(np.array([[9.7, 47.6], [43.8, 24.6]]), np.array([1.22, 2.822]), Likeness("linear", 0.006, 1.0, 0.1))
    estimate, variance = krige(solved, np.array([[18.8, 67.9], [43.8, 24.6]]))
    assert estimate == pytest.approx([1.6364, 2.822], abs=5e-5)
    assert variance == pytest.approx([0.4201, 0.0], abs=5e-5)
    assert weights(solved, np.array([18.8, 67.9]))[0] == pytest.approx([0.740081, 0.259919], abs=5e-7)


def test_the_meuse_variogram_to_the_last_printed_digit(variogram):
    for pairs, distance, gamma, line in zip(*variogram, VARIOGRAM.splitlines(), strict=True):
        printed = line.split()
        assert [str(pairs), f"{distance:.5f}", f"{gamma:.7f}"] == printed


def test_the_meuse_fit_is_the_published_one(variogram):
    optimize = pytest.importorskip("scipy.optimize")
    pairs, distance, gamma = variogram

    def misfit(parameters):
        nugget, sill, range_m = parameters
        return np.sqrt(pairs) / distance * (Likeness("spherical", sill, range_m, nugget).gamma(distance) - gamma)

    found = optimize.least_squares(misfit, (1.0, 1.0, 900.0), x_scale=(0.1, 1, 1000), xtol=1e-15, ftol=1e-15, gtol=1e-15).x
    assert found == pytest.approx([PUBLISHED.nugget, PUBLISHED.sill, PUBLISHED.range_mm], rel=1e-4)


def test_a_second_published_fit_of_gstat(meuse):
    # Repository r-spatial/gstat, tests/fit.Rout.save: γ set to (0.5, 1, 2, 3, 3) at cutoff 500, width 100, no nugget.
    optimize = pytest.importorskip("scipy.optimize")
    pairs, distance, _ = experimental(*meuse, 500.0, 5)
    gamma = np.array([0.5, 1.0, 2.0, 3.0, 3.0])

    def misfit(parameters):
        return np.sqrt(pairs) / distance * (Likeness("spherical", *parameters).gamma(distance) - gamma)

    found = optimize.least_squares(misfit, (3.0, 500.0), x_scale=(1, 1000), xtol=1e-14, ftol=1e-14, gtol=1e-14).x
    assert found == pytest.approx([7.878195, 1567.77], rel=1e-3)


@pytest.mark.parametrize(
    ("model", "mean", "rmse", "z2"),
    [(PUBLISHED, -2.0736e-5, 0.391804, 0.818546), (Likeness("spherical", 0.59, 874, 0.04), 3.1458e-4, 0.389171, 0.860702)],
    ids=["published fit", "gstat's example model"],
)
def test_leave_one_out_of_the_meuse_data(meuse, model, mean, rmse, z2):
    # Values worked out beforehand by refitting in a loop; the published help of gstat's krige.cv gives the definitions.
    errors, variances = leave_one_out(solve(*meuse, model))
    assert errors.mean() == pytest.approx(mean, rel=1e-3)
    assert np.sqrt(np.mean(errors**2)) == pytest.approx(rmse, abs=5e-7)
    assert np.mean(errors**2 / variances) == pytest.approx(z2, abs=5e-7)


def test_leave_one_out_equals_pykrige_fitted_again_without_the_point(meuse):
    # PyKrige 1.7.3, points 0, 50 and 154: residuals and variances.
    errors, variances = leave_one_out(solve(*meuse, PUBLISHED))
    assert errors[[0, 50, 154]] == pytest.approx([0.161260, -0.018692, -0.419466], abs=5e-7)
    assert variances[[0, 50, 154]] == pytest.approx([0.181087, 0.170951, 0.543093], abs=6e-7)


def test_leave_one_out_closed_form_equals_the_loop():
    xy, values = ISAAKS[:, :2], ISAAKS[:, 2]
    errors, variances = leave_one_out(solve(xy, values, ISAAKS_MODEL))
    for left in range(len(values)):
        rest = np.arange(len(values)) != left
        estimate, variance = krige(solve(xy[rest], values[rest], ISAAKS_MODEL), xy[left : left + 1])
        assert errors[left] == pytest.approx(values[left] - estimate[0], abs=1e-9)
        assert variances[left] == pytest.approx(variance[0], abs=1e-9)


@pytest.mark.parametrize("kind", ["exponential", "spherical", "linear"])
@pytest.mark.parametrize("exact", [True, False])
def test_estimates_and_variances_equal_those_of_pykrige(kind, exact):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        ordinary = pytest.importorskip("pykrige.ok").OrdinaryKriging
    chance = np.random.default_rng(3)
    xy, values = chance.uniform(0, 900, (40, 2)), chance.normal(250, 30, 40)
    nodes = np.vstack((chance.uniform(-50, 950, (200, 2)), xy[:5]))
    sill, range_mm, nugget = 700.0, 300.0, 20.0
    # PyKrige takes the practical range of an exponential model, three times r.
    theirs = {"psill": sill, "range": range_mm * (3 if kind == "exponential" else 1), "nugget": nugget}
    if kind == "linear":
        theirs = {"slope": sill / range_mm, "nugget": nugget}
    other = ordinary(*xy.T, values, variogram_model=kind, variogram_parameters=theirs, exact_values=exact)
    expected, variance = other.execute("points", *nodes.T)
    solved = solve(xy, values, Likeness(kind, sill, range_mm, nugget))
    estimate, spread = krige(solved, nodes, exact=exact)
    assert estimate == pytest.approx(np.asarray(expected), abs=1e-6)
    assert spread == pytest.approx(np.asarray(variance), abs=1e-6)


def test_the_matern_model_is_the_modified_bessel_function_of_order_3_2():
    # Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), eq. 4.14 with ν = 3/2 (from memory, not seen):
    # 2^(1−ν)/Γ(ν) · (√(2ν) h)^ν · K_ν(√(2ν) h).
    special = pytest.importorskip("scipy.special")
    h = np.linspace(0.01, 5, 50)
    root = np.sqrt(3) * h
    assert 1 - grown("matern32", h) == pytest.approx(2**-0.5 / special.gamma(1.5) * root**1.5 * special.kv(1.5, root))


def test_the_likeliest_model_is_as_likely_as_that_of_a_general_optimiser():
    # The likelihood by the multivariate normal density of scipy, with the mean by generalised least squares.
    stats = pytest.importorskip("scipy.stats")
    chance = np.random.default_rng(11)
    xy = chance.uniform(0, 1000, (60, 2))
    apart = np.hypot(*(xy[:, None] - xy[None]).transpose(2, 0, 1))
    true = 900.0 * (1 - grown("matern32", apart / 250.0)) + 16.0 * np.eye(60)
    values = 250 + np.linalg.cholesky(true) @ chance.normal(size=60)

    def likelihood(model):
        spread = model.sill * (1 - grown("matern32", apart / model.range_mm)) + model.nugget * np.eye(60)
        mean = solve(xy, values, model).mean
        return stats.multivariate_normal(np.full(60, mean), spread).logpdf(values)

    found = fit_matern(xy, values, 2.25)
    assert found.nugget >= 2.25
    assert likelihood(found) > likelihood(Likeness("matern32", 900.0, 250.0, 16.0)) - 0.5
    optimize = pytest.importorskip("scipy.optimize")
    best = optimize.minimize(
        lambda p: -likelihood(Likeness("matern32", np.exp(p[0]), np.exp(p[1]), 2.25 + np.exp(p[2]))),
        np.log([900.0, 250.0, 14.0]),
        method="Nelder-Mead",
        options={"maxiter": 150},
    )
    assert likelihood(found) > -best.fun - 1.0
