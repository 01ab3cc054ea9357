"""Film of the known stack, what is unexplained, and its uncertainty. Ranges and sums are worked out on paper."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.film.known import known_stack, unexplained
from bodymap.film.spots import spots_of
from bodymap.film.uncertainty import foil_check, gauge_u_um, median_u_um
from bodymap.model import Setting
from bodymap.settings import in_force
from tests.film.cases import box, coat, part, reading, record, stack, zone

SETTINGS = in_force()
COATS = (
    coat("prime", 15, 25, "primer"),
    coat("red", 40, 50),
    coat("clear", 30, 45, "clear"),
    coat("unknown"),
    coat("gel", kind="other"),
)


def panel(layers, values, *, substrate="steel", principle="magnetic", reaches=True, coats=COATS):
    made, rows = stack("z", layers, reaches=reaches)
    readings = [reading(f"r{n}", "z", float(um), principle=principle) for n, um in enumerate(values)]
    return record(
        [zone("z", box(0, 0, 500, 500))],
        parts=[part(substrate=substrate)],
        coats=coats,
        stacks=(made,),
        layers=tuple(rows),
        readings=readings,
    )


@pytest.mark.parametrize(
    ("layers", "low", "high"),
    [
        (["prime", "red", "clear"], 85, 120),
        (["prime", ("red", "mist")], 15, 30),  # mist: 0–5 µm
        (["prime", ("red", "none"), "clear"], 45, 70),
        (["prime", ("unknown", "full", 33.0)], 48, 58),  # measured in the section
        ([("prime", "full", 60.0)], 15, 25),  # the coat's usual range goes before what one place showed
        ([], 0, 0),  # looked at and bare
    ],
)
def test_the_known_film_is_the_sum_of_the_ranges(layers, low, high):
    known = known_stack(panel(layers, []), "z", SETTINGS)
    assert (known.low_um, known.high_um) == (low, high)


def test_a_coat_without_a_range_makes_the_stack_unknown_and_is_named():
    found = unexplained(panel(["prime", "unknown"], [200] * 5), "z", SETTINGS)
    assert (found.verdict, found.low_um, found.high_um) == ("cannot tell", None, None)
    assert "Coat unknown" in found.why


@pytest.mark.parametrize("half", [{"low": 10}, {"high": 30}])
def test_half_a_range_is_no_range(half):
    coats = (coat("c", **half),)
    assert not known_stack(panel(["c"], [], coats=coats), "z", SETTINGS).known


def test_a_stack_that_stops_short_of_the_substrate_tells_nothing():
    found = unexplained(panel(["prime"], [200] * 5, reaches=False), "z", SETTINGS)
    assert (found.verdict, found.why) == ("cannot tell", "no stack of this zone reaches the substrate")


def test_the_known_stack_is_that_of_the_as_found_finish_only():
    assert not known_stack(panel(["prime"], []), "z", SETTINGS, "after strip").known


# Known film 85–120 µm; the gauge is good to 10 % (ASTM E376-11 note 2), so that 134 µm may be 120.6 and 133 µm 119.7.
@pytest.mark.parametrize(
    ("um", "verdict"), [(134, "excess"), (133, "none"), (100, "none"), (78, "none"), (77, "deficit"), (400, "excess")]
)
def test_excess_and_deficit_only_beyond_range_and_uncertainty(um, verdict):
    found = unexplained(panel(["prime", "red", "clear"], [um] * 5), "z", SETTINGS)
    assert found.verdict == verdict
    assert (found.low_um, found.high_um) == pytest.approx((0.9 * um - 120, 1.1 * um - 85))


def test_no_reading_that_counts_cannot_tell():
    wrong = panel(["prime"], [480] * 5, substrate="aluminium")
    assert unexplained(wrong, "z", SETTINGS).verdict == "cannot tell"
    assert unexplained(panel(["prime"], []), "z", SETTINGS).why == "no reading that counts"


@pytest.mark.parametrize(
    ("substrate", "principle", "layers", "low"),
    [
        ("grp", "ultrasonic", ["gel", "red"], 40),
        ("other", "ultrasonic", ["gel", "red"], 40),
        ("steel", "ultrasonic", ["gel", "red"], None),  # a gelcoat lies on no steel
        ("grp", "ultrasonic", ["red", "gel"], None),  # not innermost
        ("grp", "ultrasonic", ["unknown", "red"], None),  # a colour coat is no gelcoat
    ],
)
def test_a_gelcoat_counts_as_substrate_for_an_ultrasonic_gauge(substrate, principle, layers, low):
    known = known_stack(panel(layers, [60] * 3, substrate=substrate, principle=principle), "z", SETTINGS)
    assert known.low_um == low
    assert ("counts as substrate" in known.why) is (low is not None)


@given(st.lists(st.floats(1, 1500), min_size=1, max_size=12), st.floats(0, 200), st.floats(0, 300))
def test_the_verdict_is_what_the_range_says(values, low, more):
    rec = panel(["c"], values, coats=(coat("c", low, low + more),))
    found = unexplained(rec, "z", SETTINGS)
    assert found.high_um - found.low_um == pytest.approx(more + 2 * found.u_um)
    assert found.verdict == ("excess" if found.low_um > 0 else "deficit" if found.high_um < 0 else "none")
    assert found.u_um >= 2.5


# --- uncertainty -------------------------------------------------------------------------------------------------------


def test_scatter_falls_with_spots_and_the_gauge_does_not():
    few, many = (
        spots_of(
            record([zone("z", box(0, 0, 9, 9))], readings=[reading(f"r{n}", "z", 100.0 + (n % 2)) for n in range(count)]),
            "z",
        )
        for count in (4, 400)
    )
    assert median_u_um(100, few[:1], SETTINGS) == 10
    # two standard errors of a median: 2·√(π/2)·s/√n
    scatter = 2 * math.sqrt(math.pi / 2) * math.sqrt(1 / 3) / 2
    assert median_u_um(100, few, SETTINGS) == pytest.approx(math.hypot(10, scatter))
    assert median_u_um(100, many, SETTINGS) == pytest.approx(10, abs=0.002)


def test_drift_of_the_round_is_in_the_uncertainty():
    drifted = in_force([Setting(key="gauge_drift_um", value="6", basis="own trial")])
    assert gauge_u_um(25, drifted) == pytest.approx(math.hypot(2.5, 6))
    found = unexplained(panel(["prime", "red", "clear"], [134] * 5), "z", drifted)
    assert found.verdict == "none"


def test_foils_before_and_after_show_bias_and_drift():
    check = foil_check([(124, 124), (124, 126), (249, 250)], [(249, 256), (124, 128)])
    assert check.foils_um == (124, 249)
    assert check.drift_um == (3, 6)
    assert check.bias_um == pytest.approx((2.5, 4))
    assert check.most_drift_um == 6
    assert check.u_um(124, SETTINGS) == pytest.approx(math.hypot(12.4, 3))
    assert check.u_um(186.5, SETTINGS) == pytest.approx(math.hypot(18.65, 4.5))
    assert check.u_um(500, SETTINGS) == pytest.approx(math.hypot(50, 6))
    assert check.u_um(50, SETTINGS) == pytest.approx(math.hypot(5, 3))
    assert (check.out_of_reach(500), check.out_of_reach(200), check.out_of_reach(50)) == (True, False, True)


def test_foils_that_read_alike_add_nothing():
    check = foil_check([(50, 51), (200, 199)], [(50, 51), (200, 199)])
    assert check.u_um(120, SETTINGS) == gauge_u_um(120, SETTINGS)


@pytest.mark.parametrize(("before", "after"), [([], []), ([(50, 50)], []), ([(50, 50)], [(51, 50)])])
def test_foils_must_be_the_same_before_and_after(before, after):
    with pytest.raises(BodymapError, match="foil check"):
        foil_check(before, after)
