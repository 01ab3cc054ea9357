"""What a person says of the paths of a sketch: parts made once, all faults told at once, no scale better than it is."""

from __future__ import annotations

import pytest

from bodymap.errors import Faults
from bodymap.exchange.taking_in import Wish, free_ident, taken_in
from bodymap.exchange.traced import Traced, traced_sketch
from bodymap.geometry.calibrate import from_two_points
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.proposal import applied
from bodymap.model import Drawing, OutlineShape, Part, Zone
from bodymap.model.check import reference_faults
from tests.dashboard.small import small_record

SQUARE = ((0.0, 0.0), (100.0, 0.0), (100.0, 100.0), (0.0, 100.0))
HIGHER = tuple((x, y + 100) for x, y in SQUARE)
EMPTY = Drawing(drawing_id="tail", name="Tail", kind="outside", scale="schematic")


def sketch(*lines: Traced):
    return traced_sketch(lines or (Traced(SQUARE), Traced(HIGHER)), "tail.jpg")


def new(name: str, part: str = "", **said) -> Wish:
    return Wish("zone", name, "", part, "steel", removable=True, **said)


def test_zones_that_name_one_new_part_share_it_and_all_references_hold():
    record = small_record()
    wishes = {"p1": new("Door, low", "Tail door"), "p2": new("Door, high", "Tail door", face="back")}
    made = taken_in(record, sketch(), wishes, EMPTY)
    parts = [entry for entry in made.put if isinstance(entry, Part)]
    zones = [entry for entry in made.put if isinstance(entry, Zone)]
    assert [part.name for part in parts] == ["Tail door"]
    assert {zone.part_id for zone in zones} == {parts[0].part_id}
    assert [zone.face for zone in zones] == ["outer", "back"]
    assert list(reference_faults(applied(record, made), lambda entry: (entry.KIND, 0))) == []


def test_an_id_that_ever_stood_for_something_is_not_used_again():
    made = taken_in(small_record(), sketch(Traced(SQUARE)), {"p1": Wish("zone", "Flange", "side")}, EMPTY, {"flange-outer"})
    assert [entry.zone_id for entry in made.put if isinstance(entry, Zone)] == ["flange-outer-2"]
    assert free_ident("“”", set(), "zone") == "zone"


def test_everything_wrong_is_told_at_once():
    wishes = {"p1": Wish("zone", ""), "p2": Wish("zone", "Lid", "nowhere")}
    with pytest.raises(Faults) as told:
        taken_in(small_record(), sketch(), wishes, EMPTY)
    columns = {(fault.subject, fault.column) for fault in told.value.faults}
    assert columns >= {("p1", "name"), ("p1", "part"), ("p1", "substrate"), ("p1", "removable"), ("p2", "part_id")}


def test_nothing_chosen_is_told():
    with pytest.raises(Faults, match="at least one"):
        taken_in(small_record(), sketch(), {}, EMPTY)


def test_lines_stay_lines_and_surfaces_surfaces():
    lines = (Traced(SQUARE), Traced(((0.0, 50.0), (100.0, 50.0)), closed=False))
    made = taken_in(small_record(), sketch(*lines), {"p1": Wish("glass"), "p2": Wish("shut_line")}, EMPTY)
    assert [(s.kind, s.shape.type) for s in made.put if isinstance(s, OutlineShape)] == [
        ("glass", "Polygon"),
        ("shut_line", "LineString"),
    ]


def test_the_scale_of_a_drawing_is_never_better_than_what_lies_on_it():
    record = small_record()
    bare, wishes = sketch(Traced(SQUARE)), {"p1": Wish("glass")}
    scaled = bare.calibrated(from_two_points((0, 0), (100, 0), 250))

    def drawing(made):
        return next(entry for entry in made.put if isinstance(entry, Drawing))

    assert drawing(taken_in(record, bare, wishes, EMPTY)).schematic
    measured = drawing(taken_in(record, scaled, wishes, EMPTY))
    assert not measured.schematic
    assert "250 mm" in (measured.scale_from or "")
    assert not drawing(taken_in(record, scaled, wishes, record.drawing["left"])).schematic
    assert drawing(taken_in(record, bare, wishes, record.drawing["left"])).schematic, "what comes in has no scale"
    assert drawing(taken_in(record, scaled, wishes, record.drawing["inner"])).schematic, "what was there has none"


def test_a_traced_square_has_the_area_its_scale_says():
    """100 px are 250 mm: 250² mm²."""
    scaled = sketch(Traced(SQUARE)).calibrated(from_two_points((0, 0), (0, 100), 250))
    made = taken_in(small_record(), scaled, {"p1": new("Lid")}, EMPTY)
    (zone,) = [entry for entry in made.put if isinstance(entry, Zone)]
    assert to_shapely(zone.shape).area == pytest.approx(250**2)
