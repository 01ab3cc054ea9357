"""Drawings on a sheet: moved by whole millimetres, never over one another, sides with their ends beside them."""

from __future__ import annotations

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bodymap.model import Datum, Drawing, OutlineShape, Record, Vehicle
from bodymap.model.shapes import Shape
from bodymap.views.layout import lay_out

from ..dashboard.small import rectangle, small_record  # noqa: TID252 - tests are no package to import from

SIZES = st.tuples(st.floats(-5000, 5000), st.floats(-5000, 5000), st.floats(20, 8000), st.floats(20, 4000))
ASPECTS = st.sampled_from([0.5, 0.75, 1.0, 16 / 9, 3.0])


def sheet_of(sizes: dict[str, tuple[float, float, float, float]], wheels=(), mirror_of=None, kind="outside") -> Record:
    """A record with one rectangle on each drawing: x, y, width, height."""
    outline = [
        OutlineShape(drawing_id=name, kind="body", shape=rectangle(x, y, x + wide, y + high))
        for name, (x, y, wide, high) in sizes.items()
    ]
    outline += [
        OutlineShape(
            drawing_id=name, kind="wheel", shape=rectangle(*sizes[name][:2], sizes[name][0] + 5, sizes[name][1] + 5)
        )
        for name in wheels
    ]
    drawings = tuple(Drawing(drawing_id=n, name=n, kind=kind, mirror_of=(mirror_of or {}).get(n)) for n in sizes)
    return Record(vehicle=Vehicle(vehicle_id="v", name="v"), drawings=drawings, outline=tuple(outline))


@given(st.lists(SIZES, min_size=1, max_size=9), ASPECTS)
def test_drawings_never_lie_over_one_another(sizes, aspect):
    layout = lay_out(sheet_of({f"d{number}": size for number, size in enumerate(sizes)}), "outside", aspect)
    assert len(layout.placed) == len(sizes)
    for one, other in itertools.combinations([place.bounds for place in layout.placed], 2):
        assert one[2] < other[0] or other[2] < one[0] or one[3] < other[1] or other[3] < one[1]
    x0, y0, x1, y1 = layout.bounds
    for left, low, right, top in (place.bounds for place in layout.placed):
        assert x0 <= left
        assert y0 <= low
        assert right <= x1
        assert top <= y1


@given(st.lists(SIZES, min_size=1, max_size=6), st.floats(0, 1), st.floats(0, 1))
def test_there_and_back_again(sizes, across, up):
    layout = lay_out(sheet_of({f"d{number}": size for number, size in enumerate(sizes)}), "outside")
    for number, (x0, y0, wide, high) in enumerate(sizes):
        x, y = x0 + across * wide, y0 + up * high
        place = layout.place_of(f"d{number}")
        assert (place.dx, place.dy) == (round(place.dx), round(place.dy))
        found = layout.to_drawing(*layout.to_sheet(f"d{number}", x, y))
        assert found is not None
        assert found[0] == f"d{number}"
        assert found[1:] == pytest.approx((x, y), abs=1e-9)


def test_a_van_is_laid_out_as_a_drawing_office_does():
    sizes = {
        "left": (6, 0, 4614, 2088), "right": (0, 0, 4614, 2088), "front": (1, 0, 1748, 2088), "rear": (5, 0, 1740, 2088),
        "roof": (6, 1, 4614, 1748),
    }  # fmt: skip
    record = sheet_of(sizes, wheels=("left", "right", "front", "rear"), mirror_of={"right": "left"})
    layout = lay_out(record, "outside")
    left, front, rear, right, roof = (layout.place_of(name).extent for name in ("left", "front", "rear", "right", "roof"))
    # A side in the upper left, its ends beside it on the same ground.
    assert left[0] == right[0] == min(place.extent[0] for place in layout.placed)
    assert left[2] < front[0] < front[2] < rear[0]
    assert left[1] == front[1] == rear[1] > right[3]
    # The plan beside the other side, on its ground.
    assert roof[0] > right[2]
    assert roof[1] == right[1]
    wide, high = layout.bounds[2:]
    assert 1.4 < wide / high < 2.2


def test_a_tall_sheet_takes_more_rows():
    sizes = {f"d{number}": (0.0, 0.0, 3000.0, 1500.0) for number in range(6)}
    rows = {aspect: len({p.extent[1] for p in lay_out(sheet_of(sizes), "outside", aspect).placed}) for aspect in (0.5, 3.0)}
    assert rows[0.5] > rows[3.0]


def test_only_drawings_of_the_kind_are_laid_out():
    record = small_record()
    assert lay_out(record, "outside").drawing_ids == ("left",)
    hidden = lay_out(record, "hidden")
    assert hidden.drawing_ids == ("inner",)
    assert hidden.place_of("inner").schematic
    assert not hidden.has("left")
    with pytest.raises(KeyError):
        hidden.to_sheet("left", 0, 0)


def test_nothing_drawn_and_no_drawing():
    bare = Record(vehicle=Vehicle(vehicle_id="v", name="v"))
    assert lay_out(bare, "outside").placed == ()
    assert lay_out(bare, "outside").to_drawing(1, 1) is None
    empty = Record(vehicle=bare.vehicle, drawings=(Drawing(drawing_id="d", name="d", kind="outside"),))
    assert lay_out(empty, "outside").drawing_ids == ("d",)


def test_a_drawing_with_nothing_on_it_waits_beside_one_that_has_something():
    drawn = sheet_of({"left": (0, 0, 900, 400)})
    record = drawn.with_kind("drawing", (*drawn.drawings, Drawing(drawing_id="rear", name="Rear", kind="outside")))
    assert lay_out(record, "outside") == lay_out(drawn, "outside")
    datum = Datum(datum_id="axis", drawing_id="rear", name="Axis", shape=point(3, 4))
    assert lay_out(record.with_kind("datum", [datum]), "outside").drawing_ids == ("left", "rear")


def point(x: float, y: float) -> Shape:
    return Shape.model_validate({"type": "Point", "coordinates": [x, y]})


def test_beside_every_drawing_there_is_none():
    layout = lay_out(small_record(), "outside")
    assert layout.to_drawing(-10_000, -10_000) is None


def test_a_point_is_enough_to_draw():
    spot = Shape.model_validate({"type": "Point", "coordinates": [100, 200]})
    record = Record(
        vehicle=Vehicle(vehicle_id="v", name="v"),
        drawings=(Drawing(drawing_id="d", name="d", kind="outside"),),
        outline=(OutlineShape(drawing_id="d", kind="trim", shape=spot),),
    )
    assert lay_out(record, "outside").to_sheet("d", 100, 200) is not None
