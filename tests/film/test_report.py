"""The film report: the keys promised, who is judged, and that a wrong gauge reaches nothing."""

from __future__ import annotations

import json

import pytest

from bodymap.errors import BodymapError
from bodymap.film.report import Specification, film_report
from bodymap.film.words import film_lines
from bodymap.settings import in_force
from tests.film.cases import box, coat, part, reading, record, stack, zone

SETTINGS = in_force()
SPEC = Specification(100.0, 80.0, 120.0)


def panel(readings, substrate="steel", **more):
    return record(
        [zone("z", box(0, 0, 900, 900)), zone("bare", box(0, 1000, 100, 100))],
        parts=[part(substrate=substrate)],
        readings=readings,
        **more,
    )


def spots(values, **more):
    return [
        reading(f"r{n}_{k}", "z", float(um), 100.0 + 100 * n, 450.0, spot=f"s{n}", **more)
        for n, um in enumerate(values)
        for k in range(3)
    ]


def told(rec, spec=None, phase="as found"):
    return json.loads(json.dumps(film_report(rec, SETTINGS, spec, phase).as_json(), allow_nan=False))


def test_every_key_of_a_zone_that_was_read():
    made, layers = stack("z", ["top"])
    rec = panel(spots([100, 104, 96, 100, 100]), coats=(coat("top", 90, 110),), stacks=(made,), layers=tuple(layers))
    found = told(rec, SPEC)["zones"]["z"]
    figures = {key: found[key] for key in ("n", "spots", "mean_um", "median_um", "min_um", "max_um")}
    assert figures == {"n": 15, "spots": 5, "mean_um": 100, "median_um": 100, "min_um": 96, "max_um": 104}
    assert found["sd_um"] == pytest.approx((96 / 14) ** 0.5)
    assert found["refused"] == []
    assert found["stack_um"] == [90, 110]
    assert found["unexplained_um"]["verdict"] == "none"
    assert found["unexplained_um"]["low"] < 0 < found["unexplained_um"]["high"]
    assert found["iso19840"]["verdict"] == "reject"  # 3 of 15 readings, 20 %, are under nominal
    assert found["sspc_pa2"]["verdict"] == "accept"
    assert {"why"} < set(found["iso19840"])


def test_keys_that_do_not_apply_are_absent():
    found = told(panel(spots([100] * 5)))["zones"]
    assert {"iso19840", "sspc_pa2", "stack_um"}.isdisjoint(found["z"])
    assert {"mean_um", "sd_um", "median_um", "min_um", "max_um"}.isdisjoint(found["bare"])
    assert (found["bare"]["n"], found["bare"]["spots"], found["bare"]["refused"]) == (0, 0, [])
    assert found["z"]["unexplained_um"] == {
        "u": pytest.approx(10),
        "verdict": "cannot tell",
        "why": "no stack of this zone reaches the substrate",
    }


def test_judges_are_asked_apart():
    rec = panel(spots([100] * 5))
    assert {"iso19840", "sspc_pa2"} & set(told(rec, Specification(nominal_um=100.0))["zones"]["z"]) == {"iso19840"}
    only = told(rec, Specification(min_um=80.0, max_um=120.0))["zones"]["z"]
    assert {"iso19840", "sspc_pa2"} & set(only) == {"sspc_pa2"}
    scope = told(rec, Specification(nominal_um=30.0))["zones"]["z"]["iso19840"]
    assert scope["verdict"] == "out of scope"
    assert "40 µm" in scope["why"]


# Readings taken on purpose at thin places must not enter the acceptance mean (Dutch coating association on NEN-ISO 19840,
# vereniging-qualion.nl, 2014); everywhere else they count.
def test_targeted_readings_are_left_out_of_acceptance_only():
    aimed = [reading(f"t{n}", "z", 40.0, 500.0, 500.0, targeted=True) for n in range(6)]
    found = told(panel([*spots([104] * 5), *aimed]), SPEC)["zones"]["z"]
    assert (found["n"], found["min_um"]) == (21, 40)
    assert found["targeted"] == [f"t{n}" for n in range(6)]
    assert found["iso19840"]["verdict"] == "accept"
    assert found["sspc_pa2"]["verdict"] == "accept"
    honest = told(panel([*spots([104] * 5), *(one.model_copy(update={"targeted": False}) for one in aimed)]), SPEC)
    assert honest["zones"]["z"]["iso19840"]["verdict"] == "reject"


@pytest.mark.parametrize("substrate", ["grp", "aluminium", "other"])
def test_a_magnetic_reading_on_the_wrong_substrate_reaches_nothing(substrate):
    wrong = spots([480, 900, 1480, 300, 20])
    found = told(panel(wrong, substrate), SPEC)
    zone_ = found["zones"]["z"]
    assert zone_["n"] == 0
    assert {"mean_um", "median_um", "max_um"}.isdisjoint(zone_)
    assert len(zone_["refused"]) == 15
    assert {zone_[judge]["verdict"] for judge in ("iso19840", "sspc_pa2")} == {"cannot tell"}
    assert zone_["unexplained_um"]["verdict"] == "cannot tell"
    assert (found["surfaces"], found["filler"], zone_["cautions"]) == ([], [], [])
    good = spots([100] * 5, principle="ultrasonic")
    mixed = [*good, *(one.model_copy(update={"reading_id": f"w{n}"}) for n, one in enumerate(wrong))]
    both, alone = told(panel(mixed, substrate), SPEC), told(panel(good, substrate), SPEC)
    for found_ in (both, alone):
        found_["zones"]["z"].pop("refused")
    assert both == alone


@pytest.mark.parametrize(
    ("values", "spec", "look"),
    [
        ([100] * 5, None, False),
        ([400] * 5, None, True),
        ([40] * 5, None, True),
        ([90] * 5, SPEC, True),
        ([104] * 5, SPEC, False),
    ],
)
def test_what_is_to_be_looked_at(values, spec, look):
    made, layers = stack("z", ["top"])
    rec = panel(spots(values), coats=(coat("top", 90, 110),), stacks=(made,), layers=tuple(layers))
    assert film_report(rec, SETTINGS, spec).to_look_at is look


def test_phases_are_reported_apart():
    rec = panel([*spots([100] * 5), reading("after", "z", 50.0, phase="top")], coats=(coat("top"),))
    assert told(rec, phase="top")["zones"]["z"]["n"] == 1
    assert told(rec)["zones"]["z"]["n"] == 15
    with pytest.raises(BodymapError, match="phase: found 'tpo'"):
        told(rec, phase="tpo")


@pytest.mark.parametrize(
    "figures",
    [
        {"min_um": 80.0},
        {"max_um": 80.0},
        {"min_um": 80.0, "max_um": 70.0},
        {"nominal_um": 80.0, "max_um": 70.0},
        {"nominal_um": 0.0},
        {"nominal_um": float("nan")},
        {"min_um": -1.0, "max_um": 9.0},
        {"nominal_um": float("inf")},
    ],
)
def test_a_specification_that_cannot_be_is_told(figures):
    with pytest.raises(BodymapError, match="allowed"):
        Specification(**figures)


def test_the_lines_say_what_is_not_told():
    rec = panel([*spots([100] * 5), reading("bad", "z", 9.0, invalid="probe rocked")])
    lines = "\n".join(film_lines(rec, film_report(rec, SETTINGS, SPEC)))
    for words in (
        "cannot tell",
        "1 not counted, as marked invalid: probe rocked",
        "ISO 19840: accept",
        "SSPC-PA 2: accept",
        "5 places read; a surface needs 15",
        "1 zones have no reading in this phase",
    ):
        assert words in lines
