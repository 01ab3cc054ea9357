"""A draft takes of each zone what plane geometry says, and tells what it had to mend."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError
from bodymap.geometry.convert import to_shapely
from bodymap.settings import in_force
from bodymap.views import draft
from bodymap.views.sheet import lay_out
from bodymap.views.sheet_extent import bounds_of

from ..dashboard.small import small_record  # noqa: TID252 - tests are no package to import from

RECORD = small_record()
OUTSIDE, HIDDEN = lay_out(RECORD, "outside"), lay_out(RECORD, "hidden")
SETTINGS = in_force()


def on_sheet(*places: tuple[float, float], drawing: str = "left"):
    layout = OUTSIDE if drawing == "left" else HIDDEN
    return [layout.to_sheet(drawing, x, y) for x, y in places]


def drawn(*places: tuple[float, float], only_inside: bool = True) -> draft.Draft:
    return draft.drawn_draft(RECORD, OUTSIDE, on_sheet(*places), only_inside=only_inside)


def test_a_rectangle_over_two_zones_is_shared_between_them():
    # x 900..1200, y 100..300: 100 × 200 on the door (ratio 1.05), 200 × 200 on the side (ratio not stated).
    made = drawn((900, 100), (1200, 100), (1200, 300), (900, 300))
    taken = {zone.zone_id: (zone.drawn_mm2, zone.surface_mm2) for zone in made.zones}
    assert taken["door_out"] == pytest.approx((20_000, 21_000))
    assert taken["side_out"] == pytest.approx((40_000, 40_000))
    assert (made.drawn_mm2, made.surface_mm2) == pytest.approx((60_000, 61_000))
    assert any("no surface ratio" in note for note in made.notes)


@given(st.floats(0, 900), st.floats(-300, 1100), st.floats(5, 400), st.floats(5, 400))
def test_inside_zones_nothing_is_lost_and_nothing_added(x, y, width, height):
    # The zones of this side fill x 0..3000, y 0..1200 and x 1000..3000, y −300..0 without gap or overlap.
    places = ((x, y), (x + width, y), (x + width, y + height), (x, y + height))
    corners = [(round(a, 1), round(b, 1)) for a, b in places]
    upper = max(0.0, corners[2][1] - max(corners[0][1], 0)) * (corners[1][0] - corners[0][0])
    lower = max(0.0, min(corners[2][1], 0) - corners[0][1]) * max(0.0, corners[1][0] - max(corners[0][0], 1000))
    upper -= max(0.0, corners[2][1] - 1200) * (corners[1][0] - corners[0][0])
    if upper + lower < 10:
        return
    made = drawn(*places)
    # Positions are rounded to 0.1 mm, a tie to either side: each edge may lie 0.1 mm off.
    assert made.drawn_mm2 == pytest.approx(upper + lower, abs=0.1 * 2 * (width + height) + 0.1)
    assert made.drawn_mm2 <= made.surface_mm2 <= made.drawn_mm2 * 1.05 + 1e-6


def test_outside_of_zones_is_told_where_it_is_kept():
    made = drawn((100, 1100), (200, 1100), (200, 1300), (100, 1300), only_inside=False)
    assert to_shapely(made.shape).area == pytest.approx(20_000)
    assert made.drawn_mm2 == pytest.approx(10_000)
    assert any(note.startswith("50%") for note in made.notes)


def test_a_line_that_crosses_itself_is_mended_and_told():
    # A bow tie of two triangles, each 100 wide and 50 high: 2 × 2500 mm².
    made = drawn((100, 100), (200, 200), (200, 100), (100, 200))
    assert made.drawn_mm2 == pytest.approx(5_000)
    assert any("crossed itself" in note for note in made.notes)


def test_the_rings_on_the_sheet_are_the_shape_moved():
    made = drawn((900, 100), (1200, 100), (1200, 300), (900, 300))
    back = {(round(x, 6), round(y, 6)) for ring in made.rings for x, y in ring}
    assert back == {(round(x, 6), round(y, 6)) for x, y in on_sheet((900, 100), (1200, 100), (1200, 300), (900, 300))}


@pytest.mark.parametrize("places", [((100, 100), (100, 100), (100, 100)), ((100, 100), (200, 200))])
def test_what_has_no_area_is_refused(places):
    with pytest.raises(BodymapError):
        drawn(*places)


def test_beside_every_drawing_nothing_is_marked():
    far = [(x - 1e6, y) for x, y in on_sheet((0, 0), (10, 0), (10, 10))]
    with pytest.raises(BodymapError, match="beside every drawing"):
        draft.drawn_draft(RECORD, OUTSIDE, far, only_inside=True)


def test_a_schematic_drawing_gives_estimates():
    ring = on_sheet((10, 2), (60, 2), (60, 12), (10, 12), drawing="inner")
    made = draft.drawn_draft(RECORD, HIDDEN, ring, only_inside=True)
    assert any("estimates" in note for note in made.notes)


def test_every_edge_piece_can_be_followed_by_a_band():
    # A rectangle of 2000 × 1200 has four pieces; a band of 40 mm along one takes length × 40 mm.
    pieces = draft.edge_pieces(RECORD, "side_out", SETTINGS)
    areas = [draft.band_draft(RECORD, OUTSIDE, "side_out", n, 40, SETTINGS).drawn_mm2 for n in range(len(pieces))]
    assert sorted(areas) == pytest.approx([48_000, 48_000, 80_000, 80_000])
    assert [name.split(": ")[1].split(",")[0] for name in pieces] == ["lower edge", "right edge", "upper edge", "left edge"]
    with pytest.raises(BodymapError, match="1 to 4"):
        draft.band_draft(RECORD, OUTSIDE, "side_out", 4, 40, SETTINGS)


def test_offsets_wait_for_two_rows_and_tell_a_row_half_filled():
    wait = draft.offset_draft(RECORD, OUTSIDE, "waist", [(0, 0, 30), (None, None, None)], only_inside=True)
    assert wait is None
    with pytest.raises(BodymapError, match="row 2"):
        draft.offset_draft(RECORD, OUTSIDE, "waist", [(0, 0, 30), (500, 0, None)], only_inside=True)


def test_offsets_make_the_trapezium_they_say():
    # Between 10 and 30 mm at the start, 10 and 50 mm after 400 mm: (20 + 40) / 2 × 400.
    made = draft.offset_draft(RECORD, OUTSIDE, "waist", [(0, 10, 30), (400, 10, 50)], only_inside=True)
    assert made is not None
    assert made.drawn_mm2 == pytest.approx(12_000)


def test_the_size_of_a_saved_area_is_what_it_takes_of_zones():
    assert draft.area_sizes(RECORD) == {"K1": pytest.approx(200 * 60)}


def test_looking_closer_never_goes_nearer_than_a_hand_can_draw():
    x0, y0, x1, y1 = bounds_of(RECORD, HIDDEN, "", ["flange"])
    assert (x1 - x0, y1 - y0) == pytest.approx((900, 300))
    assert bounds_of(RECORD, OUTSIDE, "", ["flange"]) == OUTSIDE.bounds, "a zone of another sheet moves nothing"
    assert bounds_of(RECORD, OUTSIDE, "left", ()) == OUTSIDE.bounds_of("left")
    assert all(math.isfinite(value) for value in bounds_of(RECORD, OUTSIDE, "", ()))
