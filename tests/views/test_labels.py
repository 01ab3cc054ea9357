"""Labels: what sets them all at once sets them as one that tries one place after the other."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from bodymap.views.labels import LabelDesk, around
from bodymap.views.sheet_parts import Label

PLACE = st.floats(0, 400)
LABELS = st.lists(
    st.builds(
        Label,
        text=st.sampled_from(["S1", "K12", "Left cargo side,\nlower", "254"]),
        x=PLACE,
        y=PLACE,
        paint=st.just("ink"),
        size=st.sampled_from(["text", "small", "caption"]),
    ),
    min_size=1,
    max_size=40,
)


@given(LABELS, st.sampled_from([0.4, 0.6, 0.75]), st.sampled_from([(), (1.9, 3.2)]), st.booleans())
def test_set_at_once_is_as_tried_one_after_the_other(labels, clear_em, rings, counts):
    cells = ((0, 0, 200, 400), (200, 0, 400, 400))
    at_once, in_turn = (LabelDesk(1.0, (0, 0, 400, 400), cells, window=(0, 0, 390, 390)) for _ in range(2))
    for label in labels:
        assert at_once.put_around(label, clear_em, rings, counts=counts) == in_turn.put_first_free(
            around(label, clear_em, rings), counts=counts
        )
    assert at_once.missed == in_turn.missed


@given(LABELS, LABELS, st.sampled_from([(), (1.9,)]))
def test_labels_said_to_have_no_room_find_none_and_the_others_do(before, labels, rings):
    labels = [label for label in labels if "\n" not in label.text]
    desk = LabelDesk(1.0, (-1000, -1000, 1400, 1400))
    for label in before:
        desk.put_around(label, 0.6)
    for label, room in zip(labels, desk.room_for(labels, 0.6, rings), strict=True):
        there = [desk.free(desk.box(place), desk.within) for place in around(label, 0.6, rings)]
        assert room == any(there)
