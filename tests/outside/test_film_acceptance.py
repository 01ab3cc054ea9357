"""The two judges against published rules, counts and limits."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.film.acceptance import iso19840, iso19840_least_readings, pa2_areas, pa2_spot_limits_um, sspc_pa2
from bodymap.units import mil_to_um

M2 = 1_000_000.0
FT2 = 0.3048**2 * M2


# NEN-ISO 19840:2005 rules A–D, quoted by the Dutch coating association (vereniging-qualion.nl, 2012); the cases follow
# from the rules alone, nominal 100 µm.
@pytest.mark.parametrize(
    ("readings", "verdict", "word"),
    [
        ([104] * 17 + [85] * 3, "accept", "101.2"),  # mean 101.15, 15 % under nominal
        ([105] * 16 + [85] * 4, "reject", "20 %"),  # exactly 20 % under nominal
        ([110] * 19 + [79.9], "reject", "80 %"),  # one under 80 %
        ([100] * 20, "accept", "0 of 20"),  # 100 is not under nominal
        ([99.99] * 20, "reject", "mean"),  # rule A
        ([120] * 19 + [301], "reject", "greatest film 300"),  # three times nominal where nothing is stated
    ],
)
def test_iso_19840_boundary_cases(readings, verdict, word):
    judged = iso19840(readings, 100, None, 20 * M2)
    assert (judged.verdict, word in judged.why) == (verdict, True), judged.why


def test_iso_19840_says_when_it_does_not_apply():
    # Scope of ISO 19840:2012 (abstract): not for nominal films under 40 µm.
    assert iso19840([30] * 20, 25, None, M2).verdict == "out of scope"
    assert iso19840([50] * 20, 40, None, M2).verdict == "accept"
    assert iso19840([120] * 4, 100, None, M2).verdict == "cannot tell"


# ISO 19840:2012 table 1, from memory, not seen.
@pytest.mark.parametrize(
    ("area_m2", "count"),
    [(0.2, 5), (1, 5), (1.01, 10), (3, 10), (10, 15), (30, 20), (100, 30), (101, 40), (200, 40), (201, 50)],
)
def test_iso_19840_sampling_plan(area_m2, count):
    assert iso19840_least_readings(area_m2 * M2) == count


# AIAG, Statistical Process Control, 1995, p. 64 (primer on car body parts, mil); logic only: 25 µm lies under the scope,
# so film and nominal are both taken in tenths of a mil to stand above it.
@pytest.mark.parametrize(
    ("batch_mil", "verdict"),
    [
        ([1.25, 0.91, 0.96, 1.04, 0.93, 1.08, 1.29, 1.42, 1.10, 1.00], "reject"),  # 3 of 10 under nominal
        ([1.07, 1.05, 0.97, 1.05, 1.16, 1.02, 1.02, 1.14, 1.07, 1.00], "accept"),  # 1 of 10
    ],
)
def test_iso_19840_on_measured_primer(batch_mil, verdict):
    assert iso19840([100 * mil for mil in batch_mil], 100, None, M2).verdict == verdict


# SSPC-PA 2 (2012): worked counts of 2 800 ft² → 5 areas and 12 500 ft² → 15 areas; the others by the same rule.
@pytest.mark.parametrize(("area_ft2", "count"), [(250, 3), (800, 3), (2_800, 5), (12_500, 15), (28_000, 30)])
def test_pa2_counts(area_ft2, count):
    # The standard's own round figures: 100 ft² stand for 10 m².
    assert pa2_areas(area_ft2 / 100 * 10 * M2) == count


def test_pa2_spot_limits_of_the_worked_example():
    # Specification 8–12 mil: lowest spot 6.4, highest spot 14.4 mil.
    assert pa2_spot_limits_um(8, 12) == pytest.approx((6.4, 14.4))


@pytest.mark.parametrize(
    ("spots_mil", "verdict"),
    [
        ([8, 8, 8, 8, 8], "accept"),
        ([12, 12, 12, 12, 12], "accept"),
        ([6.4, 9, 9, 9, 9], "accept"),
        ([6.3, 9, 9, 9, 9], "reject"),
        ([14.4, 10, 10, 10, 10], "accept"),
        ([14.5, 10, 10, 10, 10], "reject"),
        ([7.9, 7.9, 7.9, 7.9, 7.9], "reject"),
        ([10, 10, 10, 10], "cannot tell"),
    ],
)
def test_pa2_judges_spots_and_the_area(spots_mil, verdict):
    spots = [[mil_to_um(spot)] * 3 for spot in spots_mil]
    assert sspc_pa2(spots, mil_to_um(8) - 1e-9, mil_to_um(12) + 1e-9).verdict == verdict


def test_pa2_never_judges_a_single_reading():
    # One wild reading within a spot is averaged; spots of fewer than three readings do not count.
    assert sspc_pa2([[150, 300, 150]] + [[200] * 3] * 4, 200, 300).verdict == "accept"
    assert sspc_pa2([[200] * 2] * 9, 200, 300).verdict == "cannot tell"


@given(st.lists(st.floats(1, 500), min_size=20, max_size=30), st.floats(40, 400))
def test_iso_19840_acceptance_is_what_the_four_rules_say(readings, nominal):
    mean = sum(readings) / len(readings)
    rules = [
        mean >= nominal,
        all(um >= 0.8 * nominal for um in readings),
        sum(um < nominal for um in readings) < 0.2 * len(readings),
        all(um <= 3 * nominal for um in readings),
    ]
    if abs(mean - nominal) > 1e-9:
        assert (iso19840(readings, nominal, None, 20 * M2).verdict == "accept") is all(rules)


@pytest.mark.parametrize(
    "call",
    [
        lambda: iso19840([1], 0, None, M2),
        lambda: iso19840([1], float("nan"), None, M2),
        lambda: iso19840_least_readings(0),
        lambda: pa2_areas(-1),
        lambda: sspc_pa2([], 100, 50),
        lambda: sspc_pa2([], -1, 50),
    ],
)
def test_senseless_specifications_are_refused(call):
    with pytest.raises(BodymapError, match=r"found .* allowed"):
        call()
