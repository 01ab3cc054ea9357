"""Letters on the picture of a mask brief: runs that say the same are called once, and no piece is ever left out."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.exchange.open_folder import read_folder
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from bodymap.views.brief_letters import LetteredPiece, follows, lettered
from bodymap.views.brief_pieces import letters
from demo import VEHICLE_FOLDER


def piece(letter: str, long_mm: float = 20, says="tape", joined=True) -> LetteredPiece:
    return LetteredPiece(letter, ((0, 0), (long_mm, 0)), says, joined)


def texts(*pieces: LetteredPiece, scale: float = 1) -> list[str]:
    return [one.text for one in lettered(pieces, scale)]


def test_a_short_smooth_run_that_says_the_same_is_called_by_its_first_and_last():
    run = lettered([piece("A", joined=False), piece("B", 5), piece("C", 30)], 1)
    assert [(one.text, one.run) for one in run] == [("A–C", True)]
    assert run[0].coordinates == ((0, 0), (30, 0)), "beside its longest piece"


@pytest.mark.parametrize(
    "other", [{"says": "fine-line 3 mm"}, {"joined": False}, {"long_mm": 45}], ids=["differs", "a corner", "too long"]
)
def test_a_piece_that_differs_turns_a_corner_or_has_room_keeps_its_letter(other):
    assert texts(piece("A", joined=False), piece("B", **other)) == ["A", "B"]


def test_what_is_short_on_paper_hangs_on_the_scale():
    pieces = piece("A", 100, joined=False), piece("B", 100)
    assert texts(*pieces, scale=1) == ["A", "B"]
    assert texts(*pieces, scale=5) == ["A–B"]


def test_the_turn_is_told_across_the_end_of_the_circle():
    west = [(9, 0), (0, 1)]
    # 173.7° and then −171.9°, which is 14.4° on.
    on = [(0, 1), (-7, 0)]
    assert math.degrees(math.atan2(-1, -7)) < 0 < math.degrees(math.atan2(1, -9))
    assert follows(west, on, 15)
    assert not follows(west, on, 14)
    assert not follows(west, [(0, 2), (-7, 1)], 30), "it begins elsewhere"


@given(
    st.lists(st.tuples(st.floats(0.1, 90), st.sampled_from("xy"), st.booleans()), min_size=1, max_size=60),
    st.floats(0.5, 20),
)
def test_every_piece_is_in_one_run_in_its_order(drawn, scale):
    names = letters(len(drawn))
    pieces = [piece(name, *one) for name, one in zip(names, drawn, strict=True)]
    called = []
    for one in lettered(pieces, scale):
        first, _, last = one.text.partition("–")
        run = pieces[names.index(first) : names.index(last or first) + 1]
        assert len({each.says for each in run}) == 1
        assert all(each.follows for each in run[1:])
        called += [each.letter for each in run]
    assert called == list(names)


def test_the_hinge_seats_of_the_demo_carry_sixteen_labels_for_forty_four_pieces():
    record = read_folder(VEHICLE_FOLDER).record
    (area,) = brief_view(record, in_force(record.settings), ["K5"]).areas
    written = [label.text for label in area.picture.labels if label.style in ("letter", "letters")]
    # Four plates, each with its rounded edge and three holes.
    assert len(area.pieces) == 44
    assert len(written) == 16
    assert [text for text in written if "–" in text] == ["A–H", "L–S", "W–AD", "AH–AO"]
    assert {one.piece for one in area.offsets} == {one.letter for one in area.pieces}, "every piece keeps its offsets"
