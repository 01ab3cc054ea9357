"""What the pieces of a mask lie along: told by the drawing alone, and only where nearly all of a piece lies there."""

from __future__ import annotations

import pytest

from bodymap.model import Area, OutlineShape
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from bodymap.views.brief_along import other_edges, runs_of
from bodymap.views.edge_words import EDGE_WORDS
from tests.views.brief_specimen import line, rect, van

# Zones of the specimen: upper (1600, 800) to (3800, 1450) and lower (1600, 300) to (3800, 800), both of the cargo side;
# the door (950, 300) to (1550, 1500) is another part.
SHUT = OutlineShape(drawing_id="left", kind="shut_line", shape=line((2000, 300), (2000, 1450)))
SWAGE = OutlineShape(drawing_id="left", kind="body_line", name="Waist swage", shape=line((1600, 1000), (3800, 1000)))


def along(box, *more):
    area = Area(area_id="M1", drawing_id="left", purpose="mask", edge="hard", shape=rect(*box))
    record = van(*more, areas=(area,), steps=())
    (brief,) = brief_view(record, in_force(record.settings)).areas
    return {piece.stays: piece.along for piece in brief.pieces}


def test_free_in_the_surface_lies_along_nothing():
    assert along((1700, 900, 200, 200)) == {"above": None, "below": None, "left": None, "right": None}


@pytest.mark.parametrize("off_mm", [0.0, 0.9, -0.9])
def test_the_edge_of_a_panel_and_the_border_of_two_zones(off_mm):
    # Lower edge on the border of the two zones, right edge on the end of the panel: 1 mm is near enough.
    told = along((3000, 800 + off_mm, 800, 300 - off_mm))
    assert told == {"above": "zone border", "below": None, "left": "panel edge", "right": None}


def test_farther_away_than_the_setting_is_free():
    assert along((3000, 801.2, 700, 300))["above"] is None


def test_lines_of_the_body_come_first():
    told = along((2000, 1000, 500, 100), SHUT, SWAGE)
    assert (told["right"], told["above"]) == ("shut line", "body line")


def test_a_piece_that_only_crosses_or_half_lies_on_a_line_is_free():
    half = OutlineShape(drawing_id="left", kind="body_line", shape=line((2000, 1000), (2250, 1000)))
    assert along((2000, 1000, 500, 100), half)["above"] is None
    assert along((1900, 950, 200, 200), SHUT, SWAGE) == {"above": None, "below": None, "left": None, "right": None}


def test_a_line_of_another_drawing_says_nothing():
    elsewhere = SWAGE.model_copy(update={"drawing_id": "sketch"})
    assert along((2000, 1000, 500, 100), elsewhere)["above"] is None


def test_a_piece_on_a_part_or_a_line_is_made_as_there_and_the_rest_as_stated():
    told = other_edges(
        "hard", [("A", "panel edge"), ("B", None), ("C", "body line"), ("D", "panel edge"), ("E", "zone border")]
    )
    assert [words.partition(":")[0] for words in told] == ["A, D on a panel edge", "C on a body line"]
    assert EDGE_WORDS["part_edge"].make in told[0]
    assert told[0].endswith("Wrap depth: ______ Tape width: ______")
    assert EDGE_WORDS["body_line"].make in told[1]


@pytest.mark.parametrize("edge", ["left_in_seal", "part_edge", "body_line", None])
def test_other_kinds_say_themselves_how_all_of_it_is_made(edge):
    # Under a seal that stays in nobody goes round the edge: that would lift the lip.
    assert other_edges(edge, [("A", "panel edge"), ("B", "body line")]) == ()


@pytest.mark.parametrize(
    ("letters", "said"),
    [
        ("A", "A"),
        ("AB", "A, B"),
        ("ABC", "A–C"),
        ("ABCDEFGHIJK", "A–K"),
        ("ACE", "A, C, E"),
        ("ACEGIK", "A, C, E, G, I, K"),
        ("ACEGIKMOP", "A, C, E, G, I, K and 3 more pieces"),
    ],
)
def test_letters_of_neighbours_are_drawn_together_and_none_is_lost(letters, said):
    assert runs_of(list(letters), list("ABCDEFGHIJKLMNOPQ")) == said
