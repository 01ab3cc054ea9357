"""Hidden faces from a form: true size, in free room, covered as said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.errors import BodymapError, Faults
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.hidden_faces import FORMS, HiddenFace, hidden_face
from bodymap.geometry.proposal import applied
from bodymap.model import Drawing, Record
from bodymap.model.check import reference_faults
from bodymap.settings import in_force
from tests.geometry.drawn import record, square, zone

SETTINGS = in_force()


@pytest.mark.parametrize("form", FORMS)
def test_a_face_has_its_true_size_its_part_and_what_hides_it(form):
    held = record()
    made = hidden_face(held, HiddenFace(form, "side", 840, 22, ("door",), gap=True), SETTINGS)
    after = applied(held, made)
    (face,) = after.zones
    assert to_shapely(face.shape).area == pytest.approx(840 * 22)
    assert (face.zone_id, face.part_id, face.drawing_id, face.name) == (f"side_{form}", "side", "faces", f"Side, {form}")
    assert face.face == {"flange": "flange", "seat": "flange", "jamb": "jamb", "channel": "channel"}[form]
    assert [(c.part_id, c.gap) for c in after.covers] == [("door", True)]
    assert list(reference_faults(after, lambda entry: (entry.KIND, 0))) == []


def test_where_there_is_no_hidden_drawing_one_is_made():
    held = record()
    bare = Record(vehicle=held.vehicle, parts=held.parts, drawings=(Drawing(drawing_id="hidden", name="x", kind="outside"),))
    after = applied(bare, hidden_face(bare, HiddenFace("jamb", "side", 900, 60), SETTINGS))
    drawing = after.drawing["hidden_2"]
    assert (drawing.kind, drawing.scale) == ("hidden", "measured")
    assert after.zones[0].drawing_id == "hidden_2"


def test_what_hides_it_is_asked_where_it_was_not_said():
    assert "what hides it" in hidden_face(record(), HiddenFace("jamb", "side", 900, 60), SETTINGS).questions[0]


SIZES = st.lists(st.tuples(st.floats(1, 6000), st.floats(1, 900)), min_size=1, max_size=9)


@given(SIZES, st.booleans())
def test_faces_never_come_to_lie_on_one_another(sizes, begun):
    held = record(*([zone("old", square(-300, 200, 500, 40), drawing="faces")] if begun else []))
    for length, width in sizes:
        held = applied(held, hidden_face(held, HiddenFace("flange", "side", length, width), SETTINGS))
    shapes = [to_shapely(one.shape) for one in held.zones]
    assert len(shapes) == len(sizes) + begun
    for number, one in enumerate(shapes):
        for other in shapes[:number]:
            assert one.distance(other) >= SETTINGS.value("hidden_space_mm") - 1e-6
    assert [shape.area for shape in shapes[begun:]] == pytest.approx([length * width for length, width in sizes])


def test_room_between_faces_is_used_before_the_sheet_grows():
    held = record(
        zone("top", square(0, 1000, 4000, 100), drawing="faces"), zone("foot", square(0, 0, 4000, 100), drawing="faces")
    )
    after = applied(held, hidden_face(held, HiddenFace("flange", "side", 800, 30), SETTINGS))
    low_x, low_y, _, high_y = to_shapely(after.zone["side_flange"].shape).bounds
    assert (low_x, low_y > 100, high_y < 1000) == (0, True, True)


def test_everything_wrong_with_a_form_is_told_at_once():
    wrong = HiddenFace("lip", "bonnet", 0, float("nan"), ("bonnet", "bonnet"), zone_id="side")  # type: ignore[arg-type]
    with pytest.raises(Faults) as caught:
        hidden_face(record(), wrong, SETTINGS)
    assert {fault.column for fault in caught.value.faults} == {
        "form", "length_mm", "width_mm", "part_id", "covered_by", "zone_id",
    }  # fmt: skip


def test_an_outside_drawing_takes_no_hidden_face():
    with pytest.raises(BodymapError, match="a drawing of hidden faces"):
        hidden_face(record(), HiddenFace("jamb", "side", 900, 60), SETTINGS, "left")
