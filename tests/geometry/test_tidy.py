"""Gaps and overlaps of zones: found with their mm² and place, mended without losing surface, asked about where it is due."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.proposal import applied
from bodymap.geometry.tidy import flaws_of, mend, mend_all
from bodymap.model import OutlineShape, Stack
from bodymap.settings import in_force
from tests.geometry.drawn import record, square, zone

SETTINGS = in_force()


def area(held, *idents):
    return float(shapely.union_all([to_shapely(held.zone[ident].shape) for ident in idents]).area)


def test_zones_that_share_their_edges_have_no_flaw():
    held = record(zone("a", square(0, 0, 100, 50)), zone("b", square(100, 0, 100, 50)), zone("c", square(0, 50, 200, 50)))
    assert flaws_of(held, "left", SETTINGS) == ()
    assert flaws_of(held, "faces", SETTINGS) == ()


def test_a_gap_has_its_place_its_size_and_its_neighbours():
    held = record(zone("a", square(0, 0, 100, 50)), zone("b", square(103, 0, 100, 50)))
    (gap,) = flaws_of(held, "left", SETTINGS)
    assert (gap.kind, gap.zones, gap.may_be_shut_gap) == ("gap", ("a", "b"), False)
    assert gap.area_mm2 == pytest.approx(3 * 50)
    assert 100 < gap.place[0] < 103
    assert to_shapely(gap.shape).bounds == pytest.approx((100, 0, 103, 50))


def test_between_two_parts_a_gap_may_be_the_shut_gap_and_is_left_alone():
    held = record(zone("a", square(0, 0, 100, 50)), zone("b", square(105, 0, 100, 50), part="door"))
    (gap,) = flaws_of(held, "left", SETTINGS)
    assert gap.may_be_shut_gap
    assert mend_all(held, "left", SETTINGS).put == ()
    closed = applied(held, mend_all(held, "left", SETTINGS, shut_gaps=True))
    assert flaws_of(closed, "left", SETTINGS) == ()


def test_what_is_wider_than_a_gap_is_open_surface():
    held = record(zone("a", square(0, 0, 100, 50)), zone("b", square(113, 0, 100, 50)))
    assert flaws_of(held, "left", SETTINGS) == ()


def test_a_gap_goes_to_the_neighbour_that_borders_most_of_it():
    # a sliver of 100 × 4 mm: b borders its long upper edge, a only a short end
    held = record(zone("a", square(-50, 0, 50, 4)), zone("b", square(0, 4, 100, 50)), zone("c", square(0, -50, 60, 50)))
    flaws = flaws_of(held, "left", SETTINGS)
    after = applied(held, mend_all(held, "left", SETTINGS))
    taken = {ident: area(after, ident) - area(held, ident) for ident in ("a", "b", "c")}
    assert sum(taken.values()) == pytest.approx(sum(flaw.area_mm2 for flaw in flaws), abs=1e-6)
    assert taken["a"] == 0
    assert not [flaw for flaw in flaws_of(after, "left", SETTINGS) if flaw.kind == "gap"]


def test_an_overlap_is_cut_by_the_earlier_zone():
    held = record(zone("b", square(0, 0, 100, 50)), zone("a", square(90, 0, 100, 50)))
    (over,) = flaws_of(held, "left", SETTINGS)
    assert (over.kind, over.area_mm2, over.zones) == ("overlap", pytest.approx(500), ("b", "a"))
    after = applied(held, mend(held, over))
    assert after.zone["b"] == held.zone["b"]
    assert area(after, "a") == pytest.approx(4500)
    assert flaws_of(after, "left", SETTINGS) == ()


def test_a_stack_in_what_a_zone_gives_away_is_asked_about():
    stack = Stack(stack_id="s", zone_id="a", x=95, y=20, method="window", reaches_substrate=True)
    held = record(zone("b", square(0, 0, 100, 50)), zone("a", square(90, 0, 100, 50)), stack)
    (over,) = flaws_of(held, "left", SETTINGS)
    assert any("stack s" in question for question in mend(held, over).questions)


def test_a_zone_within_another_is_not_lost():
    held = record(zone("b", square(0, 0, 100, 50)), zone("a", square(10, 10, 20, 20)))
    (over,) = flaws_of(held, "left", SETTINGS)
    with pytest.raises(BodymapError, match="wholly within"):
        mend(held, over)
    whole = mend_all(held, "left", SETTINGS)
    assert whole.put == ()
    assert "wholly within" in whole.questions[0]


def test_a_hole_that_glass_explains_is_none():
    frame = shapely.Polygon(square(0, 0, 300, 200).rings()[0], [square(50, 50, 100, 100).rings()[0]])
    from bodymap.geometry.convert import from_shapely

    bare = record(zone("a", from_shapely(frame)))
    (hole,) = flaws_of(bare, "left", SETTINGS)
    assert (hole.kind, hole.area_mm2) == ("hole", pytest.approx(10_000))
    glazed = record(
        zone("a", from_shapely(frame)), OutlineShape(drawing_id="left", kind="glass", shape=square(50, 50, 100, 100))
    )
    assert flaws_of(glazed, "left", SETTINGS) == ()


ROWS = st.lists(st.tuples(st.floats(20, 300), st.floats(-4, 6)), min_size=2, max_size=6)


@given(ROWS, st.floats(20, 200))
def test_mending_a_row_of_zones_loses_no_surface_and_leaves_no_flaw(columns, height):
    """Zones side by side with gaps (plus) or overlaps (minus) between them: mended, they fill the row exactly."""
    zones, x = [], 0.0
    for number, (width, space) in enumerate(columns):
        zones.append(zone(f"z{number}", square(x, 0, width, height)))
        x += width + (space if number < len(columns) - 1 else 0)
    held = record(*zones)
    after = applied(held, mend_all(held, "left", SETTINGS))
    left = flaws_of(after, "left", SETTINGS)
    # what is below the least that is shown may stay
    assert [flaw for flaw in left if flaw.area_mm2 > 1.5] == []
    sums = sum(to_shapely(one.shape).area for one in after.zones)
    small = len(columns) * 1.5
    assert sums == pytest.approx(x * height, abs=small + 1e-6 * x * height)
