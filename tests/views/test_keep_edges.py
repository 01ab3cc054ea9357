"""Kept edges as the strip sees them: pieces, what lies beyond, what endangers, which margin is asked; on the cart."""

from __future__ import annotations

import pytest

from bodymap.model.part import Part
from bodymap.release.strip_areas import split_zones
from bodymap.views.keep_edges import kept_edge, method_rows
from tests.release.survey import KEEP, SETTINGS, STRIP, cart, rect


def edge_of(keep=KEEP, method="chemical"):
    record = cart(keep, STRIP.model_copy(update={"method": method}), without=("K", "2"))
    return kept_edge(record, keep, split_zones(record, SETTINGS), SETTINGS)


def moved(*box, **fields):
    return KEEP.model_copy(update={"shape": KEEP.shape.model_validate(rect(*box)), **fields})


def test_pieces_between_corners_with_what_lies_beyond():
    edge = edge_of()
    assert sorted(piece.length_mm for piece in edge.pieces) == [60, 60, 200, 200]
    assert all(piece.least_radius_mm is None for piece in edge.pieces)
    assert {piece.beyond for piece in edge.pieces} == {("side",)}
    assert all(not piece.endangered_by for piece in edge.pieces)
    assert edge.signed_by == ("Ann",)


def test_a_piece_on_the_rim_of_its_zone_has_nothing_beyond():
    """The kept area fills the left end of the side: its left, upper and lower edges are those of the zone."""
    beyond = [piece.beyond for piece in edge_of(moved(0, 0, 60, 600)).pieces]
    assert sorted(beyond) == [(), (), (), ("side",)]


def test_the_margin_asked_is_that_of_the_method_and_bears_its_figure():
    asked = edge_of().asked
    assert (asked.margin_mm, asked.method, asked.stoppable, asked.zones) == (50, "chemical", True, ("side",))
    assert asked.figure.key == "margin_chemical_mm"
    assert edge_of(method="hand").asked is None


@pytest.mark.parametrize(("margin", "endangered"), [(None, True), (49, True), (50, False)])
def test_a_margin_that_is_too_narrow_endangers_every_piece(margin, endangered):
    edge = edge_of(moved(100, 100, 160, 300, margin=margin))
    assert all(bool(piece.endangered_by) is endangered for piece in edge.pieces)
    assert (edge.endangered_mm2 > 0) is endangered


def test_blast_beside_a_kept_area_endangers_the_pieces_in_its_reach_only():
    """The kept area lies 40 mm right of the side, 200 mm wide: its far edge is 240 mm away, out of the 100 mm asked."""
    edge = edge_of(moved(1040, 100, 1240, 300, margin=100), method="blast")
    near = [piece for piece in edge.pieces if piece.endangered_by]
    assert len(near) == 3
    assert "40 mm away, 100 mm asked" in next(piece for piece in near if "40 mm" in piece.endangered_by[0]).endangered_by[0]
    assert not edge.asked.stoppable


def test_methods_from_the_roughest_with_what_they_may_touch():
    rows = {row.method: row for row in method_rows(SETTINGS)}
    assert list(rows) == ["blast", "soft_media", "chemical", "blade", "hand"]
    assert rows["blast"].substrates == ("steel",)
    assert "grp" not in rows["chemical"].substrates
    assert rows["hand"].substrates == tuple(Part.model_fields["substrate"].annotation.__args__)
    assert rows["blade"].margin is None
