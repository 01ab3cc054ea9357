"""The board: what is on it, what may be written on it, what a proposal changes on it."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from bodymap.geometry.convert import from_shapely
from bodymap.geometry.proposal import Proposal
from bodymap.views.board import (
    BoardShape,
    aired,
    bar_length,
    changed_shapes,
    drawing_board,
    path_shape,
    size_rows,
    sketch_board,
    window_of,
    written,
)
from tests.dashboard.small import rectangle, small_record


def test_a_drawing_is_on_the_board_with_its_corners_and_air_round_it():
    board = drawing_board(small_record(), "left", ("side_low",))
    assert [shape.style for shape in board.shapes] == ["zone", "zone", "chosen"]
    assert {(0.0, 0.0), (1000.0, 1200.0), (3000.0, -300.0)} <= set(board.corners)
    x0, y0, x1, y1 = board.bounds
    assert x0 < 0 < 3000 < x1
    assert y0 < -300 < 1200 < y1


def test_an_empty_drawing_has_room_for_a_vehicle():
    record = small_record().with_kind("zone", ()).with_kind("outline", ())
    x0, _, x1, _ = drawing_board(record, "left").bounds
    assert x1 - x0 == 4000


def test_a_label_stands_where_its_surface_is_widest():
    """An L: 1000 mm wide for 200 mm, then 200 mm wide. The long level lines are in the foot."""
    shape = from_shapely(shapely.box(0, 0, 1000, 200).union(shapely.box(0, 0, 200, 900)))
    labelled = path_shape("zone", (), shape, "Foot")
    assert labelled.place is not None
    assert 0 < labelled.place[1] < 200
    assert labelled.place[0] == pytest.approx(500)
    assert labelled.room == pytest.approx(1000)


LABELS = st.builds(
    lambda x, y, room, text, style: BoardShape(style, (), (), text, (x, y), room),
    st.floats(0, 1000), st.floats(0, 1000), st.floats(0, 500), st.text("abc · 12", max_size=12),
    st.sampled_from(["zone", "gap"]),
)  # fmt: skip


@given(st.lists(LABELS, max_size=12))
def test_no_label_lies_over_another_or_beyond_its_room(shapes):
    letter = 10.0
    boxes = []
    for shape in written(shapes, letter):
        half = (len(shape.label) + 1) * letter / 2
        assert 2 * half <= shape.room
        boxes.append(
            shapely.box(shape.place[0] - half, shape.place[1] - letter, shape.place[0] + half, shape.place[1] + letter)
        )
    assert sum(box.area for box in boxes) == pytest.approx(shapely.union_all(boxes).area)


def test_a_proposal_shows_only_what_it_draws_anew():
    record = small_record()
    door, side = record.zone["door_out"], record.zone["side_out"]
    half = side.model_copy(update={"shape": rectangle(1000, 0, 2000, 1200)})
    new = side.model_copy(update={"zone_id": "side_2", "name": None, "shape": rectangle(2000, 0, 3000, 1200)})
    proposal = Proposal((door.model_copy(update={"name": "Door"}), half, new), (("zone", "side_low"),))
    assert [shape.label for shape in changed_shapes(record, proposal, "left")] == ["Side", "side_2"]
    rows = {row.zone_id: (row.before_mm2, row.after_mm2) for row in size_rows(record, proposal)}
    assert rows == {"side_out": (2.4e6, 1.2e6), "side_2": (None, 1.2e6), "side_low": (0.6e6, None)}


def test_a_draft_beside_a_drawing_is_in_view():
    draft = BoardShape("draft", rectangle(5000, 0, 6000, 10).rings())
    x0, _, x1, _ = sketch_board([BoardShape("zone", rectangle(0, 0, 10, 10).rings())]).with_more([draft]).bounds
    assert x0 <= 0
    assert x1 >= 6000


@given(st.floats(0.01, 1e6))
def test_a_scale_bar_is_a_tenth_to_a_fifth_of_the_width(width):
    assert width / 12.5 - 1e-9 <= bar_length(width) <= width / 5


def test_looking_closer_stays_on_the_board_and_a_touch_is_no_box():
    assert window_of([(-50, 10), (40, 10), (40, 60)], (0, 0, 100, 50)) == (0, 10, 40, 50)
    assert window_of([(5, 5), (5, 5)], (0, 0, 100, 50)) is None


def test_air_is_never_nothing():
    x0, y0, x1, y1 = aired((5, 5, 5, 5))
    assert x0 < x1
    assert y0 < y1


def test_the_name_of_a_flat_zone_is_left_out_where_its_letters_would_cross_the_edge():
    def labels(height):
        return [one.label for one in written([path_shape("zone", (), rectangle(0, 0, 1000, height), "Strip")], 10.0)]

    # letters are 15 mm high at 10 mm of width
    assert labels(16) == ["Strip"]
    assert labels(14) == []
