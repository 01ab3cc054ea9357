"""How zones divide before a strip: against hand-made rectangles, the areas of the record, and the blockers."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.geometry.areas import areas_of
from bodymap.model import Setting, Step
from bodymap.release.checks import release_of
from bodymap.release.strip_areas import LOTS, by_method, by_part, split_zones, totals_of_splits
from bodymap.settings import in_force
from tests.release.survey import KEEP, SETTINGS, STRIP, cart, rect


def changed(entry, **fields):
    return entry.model_copy(update=fields)


def areas(record, zone="side", settings=SETTINGS):
    split = split_zones(record, settings)[zone]
    return {lot: split.surfaces[lot].area for lot in LOTS}, split.in_reach.area


def test_a_zone_with_a_kept_area_and_its_margin():
    """Kept 60 × 200 mm; round it 50 mm: (60 + 200) × 2 × 50 and four quarters of a circle. The side is 1000 × 600."""
    band = 2 * (60 + 200) * 50 + math.pi * 50**2
    lots, reach = areas(cart())
    assert lots["keep"] == pytest.approx(12_000)
    assert lots["hand"] == pytest.approx(band, rel=1e-3)
    assert lots["strip"] == pytest.approx(600_000 - 12_000 - band, rel=1e-5)
    assert (lots["left"], reach) == (0, 0)


def test_what_no_step_strips_is_left_alone_and_a_kept_zone_is_kept_whole():
    lots, _ = areas(cart(), "tail")
    assert lots == {"strip": 0, "hand": 0, "keep": 0, "left": pytest.approx(490 * 600)}
    record = cart()
    kept = record.with_kind("zone", [changed(zone, intent="clean") for zone in record.zones])
    assert areas(kept)[0] == {"strip": 0, "hand": 0, "keep": pytest.approx(600_000), "left": 0}


def test_a_margin_not_stated_leaves_what_the_method_may_not_reach():
    """Stripper 50 mm off: the same band, not left to the hand; blast 100 mm off takes no notice of a stated 50 mm."""
    band = 2 * (60 + 200) * 50 + math.pi * 50**2
    lots, reach = areas(cart(changed(KEEP, margin=None), without=("K",)))
    assert lots["hand"] == 0
    assert reach == pytest.approx(band, rel=1e-3)
    wide = 2 * (60 + 200) * 100 + math.pi * 100**2
    assert areas(cart(changed(STRIP, method="blast"), without=("2",)))[1] == pytest.approx(wide, rel=1e-3)
    assert areas(cart(changed(STRIP, method="blade"), without=("2",)))[1] == 0


def test_the_figure_of_the_record_is_the_one_that_counts():
    own = in_force([Setting(key="margin_chemical_mm", value="25", basis="own trial")])
    record = cart(changed(KEEP, margin=30), without=("K",))
    assert areas(record)[1] > 0
    assert areas(record, settings=own)[1] == 0


def test_a_kept_area_on_a_part_that_is_off_by_then_is_not_reached():
    """The tail board, 10 mm beside the side, bears the kept area; a step takes it off before the strip."""
    keep = changed(KEEP, shape=KEEP.shape.model_validate(rect(1020, 100, 1080, 300)), margin=None)
    blast = changed(STRIP, method="blast")
    assert areas(cart(keep, blast, without=("K", "2")))[1] > 0
    off = Step(step=1, action="remove", target=("board",))
    assert areas(cart(keep, blast, off, without=("K", "2", "1")))[1] == 0


def test_without_a_plan_all_that_is_not_kept_counts_as_stripped_by_no_stated_method():
    splits = split_zones(cart(without=("2",)), SETTINGS)
    assert splits["tail"].surfaces["strip"].area == pytest.approx(490 * 600)
    assert splits["side"].method is None
    assert splits["side"].in_reach.area > 0


def test_sums_by_part_and_by_method_take_the_surface_ratio():
    record = cart()
    record = record.with_kind("zone", [changed(zone, surface_ratio=1.5) for zone in record.zones])
    splits = split_zones(record, SETTINGS).values()
    parts = by_part(splits)
    assert list(parts) == ["body", "board"]
    assert parts["board"].left.surface_mm2 == pytest.approx(1.5 * 490 * 600)
    assert parts["body"].keep.surface_mm2 == pytest.approx(1.5 * 12_000)
    assert list(by_method(splits)) == ["chemical"]
    whole = totals_of_splits(splits).whole
    assert whole.drawn_mm2 == pytest.approx(600_000 + 20_000 + 490 * 600)


@st.composite
def keeps(draw, name):
    """A kept rectangle somewhere on and beside the cart, all in whole mm."""
    x, y = draw(st.integers(-100, 1500)), draw(st.integers(-100, 600))
    wide, high = draw(st.integers(1, 900)), draw(st.integers(1, 500))
    margin = draw(st.none() | st.integers(0, 200))
    shape = KEEP.shape.model_validate(rect(x, y, x + wide, y + high))
    return changed(KEEP, area_id=name, margin=margin, shape=shape)


@given(keeps("A"), keeps("B"), st.sampled_from(["blast", "chemical", "hand", None]))
def test_the_lots_make_up_each_zone_and_agree_with_its_areas(one, other, method):
    record = cart(one, other, changed(STRIP, method=method), without=("K", "2"))
    told, splits = areas_of(record), split_zones(record, SETTINGS)
    for zone in record.zones:
        split, own = splits[zone.zone_id], told.zones[zone.zone_id]
        tolerance = 1e-6 * own.drawn_mm2 + 1e-3
        assert sum(split.surfaces[lot].area for lot in LOTS) == pytest.approx(own.drawn_mm2, abs=tolerance)
        if zone.intent not in ("keep", "clean"):
            assert split.surfaces["keep"].area == pytest.approx(own.kept_drawn_mm2, abs=tolerance)
            if split.strips:
                assert split.surfaces["hand"].area == pytest.approx(own.margin_drawn_mm2, abs=tolerance)


@pytest.mark.parametrize("method", ["blast", "soft_media", "chemical", "blade", "hand", None])
@pytest.mark.parametrize("margin", [None, 0, 20, 49, 50, 99, 100, 120])
@pytest.mark.parametrize("left", [100, 1005, 1060, 1120])
def test_a_surface_in_reach_and_a_blocker_are_the_same_thing(method, margin, left):
    """The slow twin: what `release_of` finds with distances, found with surfaces."""
    keep = changed(KEEP, margin=margin, shape=KEEP.shape.model_validate(rect(left, 100, left + 60, 300)))
    record = cart(keep, changed(STRIP, method=method), without=("K", "2"))
    found = {one.code for one in release_of(record, SETTINGS)["side"].blockers}
    blocked = bool(found & {"margin-in-rougher-zone", "method-not-stated"})
    assert (split_zones(record, SETTINGS)["side"].in_reach.area > 0) is blocked
