"""Drawings and zones without a browser: what it proposes, what it asks, and what it writes."""

from __future__ import annotations

import io
import math
import sys
from pathlib import Path

import pytest
from PIL import Image
from streamlit.testing.v1 import AppTest

from bodymap.exchange.open_folder import write_folder
from bodymap.exchange.photo import prepared
from bodymap.exchange.taking_in import Wish
from bodymap.exchange.traced import Traced
from bodymap.geometry.areas import areas_of
from bodymap.model import OutlineShape, Zone
from bodymap.store import record_file
from bodymap.store.record_file import Put, RecordFile
from dashboard.components.drawing_desk import BoardState, Desk
from dashboard.components.outline_in import FileIn
from dashboard.components.photo_trace import Tracing
from dashboard.state import Workspace

from .running import by_label, key_of, opened, press, tables, whole, words
from .small import AT, rectangle, small_record

SVG = b"""<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 700">
<rect id="tail-panel" x="100" y="50" width="500" height="600"/>
<rect id="tail-glass" x="160" y="90" width="380" height="200"/>
<path id="thing" d="M0 0 L10 0"/></svg>"""
PX = 25.4 / 96  # CSS Values 3 section 6.2


def on(task: str, drawing_id: str = "left", board: BoardState | None = None, said: dict | None = None, **more) -> AppTest:
    """The screen at one task, with what was done there before."""
    desk = Desk(drawing_id=drawing_id, task=task, boards={(task, drawing_id): board or BoardState()}, said=said or {})
    return opened("screens/drawings.py", desk, *more.values(), by="Ann")


def drawn(path: Path, zone_id: str) -> float:
    return areas_of(RecordFile(path).record()).zones[zone_id].drawn_mm2


# --- a file ---------------------------------------------------------------------------------------------------------------


def scaled_file() -> BoardState:
    return BoardState(scale=[(100 * PX, 50 * PX), (600 * PX, 50 * PX)], distance_mm=1000, aim="scale")


def test_a_file_is_shown_with_its_roles_and_saved_at_its_scale(record_path):
    said = {"in_substrate": "aluminium", "in_off": "yes"}
    at = on("file", "left", scaled_file(), said, given=FileIn(SVG, "tail.svg"))
    assert "no scale to be trusted" in words(at)
    # 500 × 600 units, of which 500 are said to be 1000 mm: 1.2 m²; the line without a telling name is left out
    assert "1.20 m²" in tables(at)
    assert "thing" not in tables(at)
    press(at, "in_save")
    record = RecordFile(record_path).record()
    (zone,) = [zone for zone in record.zones if zone.name == "tail-panel"]
    assert drawn(record_path, zone.zone_id) == pytest.approx(1.2e6, rel=1e-9)
    part = record.part[zone.part_id]
    assert (part.name, part.substrate, part.removable) == ("tail-panel", "aluminium", True)
    assert [shape.kind for shape in record.outline] == ["glass"]
    last = RecordFile(record_path).journal()[-1]
    assert (last.by, last.why) == ("Ann", "Left side from the file tail.svg")
    assert at.session_state[key_of(FileIn)].data == b""


def test_a_new_part_of_unknown_substrate_is_asked_about(record_path):
    before = RecordFile(record_path).head()
    at = press(on("file", "left", scaled_file(), given=FileIn(SVG, "tail.svg")), "in_save")
    said = words(at)
    assert "of what is not stated" in said
    assert "whether it comes off" in said
    assert RecordFile(record_path).head() == before
    assert at.session_state[key_of(FileIn)].data == SVG, "nothing that was brought in is lost"


def test_a_file_without_a_scale_makes_an_empty_drawing_schematic(tmp_path, monkeypatch):
    path = tmp_path / "van.gpkg"
    record = small_record().with_kind("zone", ()).with_kind("cover", ()).with_kind("stack", ()).with_kind("layer", ())
    record = record.with_kind("reading", ()).with_kind("area", ()).with_kind("source", ())
    record_file.create(path, record, by="start", why="no zones", at=AT)
    monkeypatch.setattr(sys, "argv", ["app.py", str(path)])
    at = on("file", "left", None, {"in_substrate": "steel", "in_off": "no"}, given=FileIn(SVG, "tail.svg"))
    assert "stays schematic" in words(at)
    press(at, "in_save")
    assert RecordFile(path).record().drawing["left"].schematic


GEOJSON = b"""{"type": "FeatureCollection", "features": [
{"type": "Feature", "properties": {"name": "tail panel"}, "geometry": {"type": "Polygon",
 "coordinates": [[[0, 0], [1.5, 0], [1.5, 0.8], [0, 0.8], [0, 0]]]}}]}"""


def test_geojson_is_taken_in_once_it_is_said_what_its_numbers_are(record_path):
    said = {"in_substrate": "steel", "in_off": "no"}
    at = on("file", "left", None, said, given=FileIn(GEOJSON, "tail.geojson"))
    assert not at.table, "nothing is guessed"
    by_label(at.selectbox, "Its numbers are *").select("m").run()
    whole(at)
    assert "1.20 m²" in tables(at)  # 1.5 m by 0.8 m
    press(at, "in_save")
    (zone,) = [zone for zone in RecordFile(record_path).record().zones if zone.name == "tail panel"]
    assert drawn(record_path, zone.zone_id) == pytest.approx(1500 * 800)


def test_what_comes_in_lies_beside_what_is_drawn_or_where_two_points_meet(record_path):
    """Without a choice a file lies where it says it does. Beside: none of it on what was drawn, on the same level."""
    before = small_record()
    wide = max(x for zone in before.zones_on["left"] for x, _ in zone.shape.rings()[0])
    low = min(y for zone in before.zones_on["left"] for _, y in zone.shape.rings()[0])
    said = {"in_substrate": "steel", "in_off": "no", "in_lay_way": "beside"}
    press(on("file", "left", scaled_file(), said, given=FileIn(SVG, "tail.svg")), "in_save")
    (zone,) = [zone for zone in RecordFile(record_path).record().zones if zone.name == "tail-panel"]
    (outer,) = zone.shape.rings()
    assert min(x for x, _ in outer) > wide
    assert min(y for _, y in outer) == pytest.approx(low)


@pytest.mark.parametrize(("told", "along"), [(None, 1000), (900.0, 900)])
def test_a_file_is_lined_up_with_what_is_drawn_by_two_points(record_path, told, along):
    """The foot of the panel, 500 units, laid upright from (500, 200) to (500, 1200); its 600 units then run to the left."""
    board = scaled_file()
    board.distance_mm = told
    said = {"in_substrate": "steel", "in_off": "no", "in_lay_way": "points", "in_lay_shows": "on"}
    at = on("file", "left", board, said, given=FileIn(SVG, "tail.svg"))
    told_so = words(at)
    assert "A and B: found 2 of 2 on what comes in and 0 of 2 on the drawing" in told_so
    by_label(at.text_input, "A and B on the drawing (mm: x y; x y)").input("500 200; 500 1200").run()
    whole(at)
    assert ("100.0 mm beside its place" in words(at)) == (told is not None)
    press(at, "in_save")
    (zone,) = [zone for zone in RecordFile(record_path).record().zones if zone.name == "tail-panel"]
    (outer,) = zone.shape.rings()
    assert sorted({round(x, 6) for x, _ in outer}) == pytest.approx([500 - 1.2 * along, 500])
    assert sorted({round(y, 6) for _, y in outer}) == pytest.approx([200, 200 + along])


def test_more_of_a_photo_lies_where_it_lay_before(record_path):
    """What is traced later over the same photo, with the same scale, lies to what was traced before as on the photo."""
    ring = ((100.0, 100.0), (400.0, 100.0), (400.0, 400.0), (100.0, 400.0))
    more = Traced(tuple((x + 300, y) for x, y in ring))
    tracing = Tracing(prepared(photo()), "tail.jpg", lines=[Traced(ring)], wishes=[Wish("zone", "One", "side")], taken=1)
    board = BoardState(scale=[(100, 100), (700, 100)], distance_mm=1800)
    at = press(on("photo", "left", board, tracing=tracing), "trace_save")
    tracing = at.session_state[key_of(Tracing)]
    tracing.lines, tracing.wishes = [more], [Wish("zone", "Two", "side")]
    press(at.run(), "trace_save")
    zones = {zone.name: zone for zone in RecordFile(record_path).record().zones}
    (one,), (two,) = zones["One"].shape.rings(), zones["Two"].shape.rings()
    assert two == tuple((pytest.approx(x + 900), pytest.approx(y)) for x, y in one)


def test_what_is_no_drawing_is_told_in_words(record_path):
    at = on("file", given=FileIn(b"<html/>", "page.svg"))
    assert "The file was not read" in words(at)


# --- a photo --------------------------------------------------------------------------------------------------------------


def photo(width: int = 800, height: int = 500) -> bytes:
    exif, out = Image.Exif(), io.BytesIO()
    exif.get_ifd(0x8825).update({1: "N", 2: (1.0, 2.0, 3.0)})
    Image.new("RGB", (width, height), "#b9b2a3").save(out, "JPEG", exif=exif.tobytes())
    return out.getvalue()


def test_a_traced_photo_is_saved_with_its_zone_and_without_its_place(record_path):
    ring = ((100.0, 100.0), (700.0, 100.0), (700.0, 400.0), (100.0, 400.0))
    wish = Wish("zone", "Tailboard", "side", face="outer")
    tracing = Tracing(prepared(photo()), "tail.jpg", lines=[Traced(ring)], wishes=[wish], taken=1)
    board = BoardState(scale=[(100, 100), (700, 100)], distance_mm=1800)
    at = on("photo", "left", board, tracing=tracing)
    assert "1.62 m²" in tables(at)  # 1.8 m by half of that
    press(at, "trace_save")
    file = RecordFile(record_path)
    assert drawn(record_path, "tailboard") == pytest.approx(1800 * 900, rel=1e-9)
    source = file.record().sources[-1]
    assert (source.kind, source.about, source.by) == ("photo", ("left",), "Ann")
    with Image.open(file.media_path(source.file)) as kept:
        assert not kept.getexif().get_ifd(0x8825)
    assert file.verify() == ()
    assert at.session_state[key_of(Tracing)].lines == []


def test_two_points_lying_level_turn_a_photo_that_was_held_askew(record_path):
    """A rectangle photographed askew by 5° comes out level and of its own area: a turn keeps areas."""
    turn = math.radians(5)

    def askew(x: float, y: float) -> tuple[float, float]:
        return 200 + x * math.cos(turn) - y * math.sin(turn), 100 + x * math.sin(turn) + y * math.cos(turn)

    ring = tuple(askew(x, y) for x, y in ((0, 0), (400, 0), (400, 200), (0, 200)))
    tracing = Tracing(prepared(photo()), "tail.jpg", lines=[Traced(ring)], wishes=[Wish("zone", "Tail", "side")], taken=1)
    board = BoardState(scale=[ring[0], ring[1]], distance_mm=800, lies="level")
    press(on("photo", "left", board, tracing=tracing), "trace_save")
    (outer,) = RecordFile(record_path).record().zone["tail"].shape.rings()
    assert outer[0][1] == pytest.approx(outer[1][1], abs=1e-6) or outer[1][1] == pytest.approx(outer[2][1], abs=1e-6)
    assert drawn(record_path, "tail") == pytest.approx(800 * 400, rel=1e-9)


def test_a_ring_is_kept_with_what_it_becomes_and_one_that_crosses_itself_is_not(record_path):
    bow = [(100, 100), (300, 300), (300, 100), (100, 300)]
    tracing = Tracing(prepared(photo()), "tail.jpg", taken=1)
    at = on("photo", "left", BoardState(line=bow), {"trace_role": "glass"}, tracing=tracing)
    press(at, "trace_keep")
    assert "crosses itself" in words(at)
    assert at.session_state[key_of(Tracing)].lines == []
    next(box for box in at.text_input if box.label.startswith("Corners")).input("100 100; 300 100; 300 300").run()
    press(at, "trace_keep")
    assert [line.points for line in at.session_state[key_of(Tracing)].lines] == [
        ((100, 100), (300, 100), (300, 300), (100, 100))
    ]


# --- what is drawn --------------------------------------------------------------------------------------------------------


def test_calibrating_moves_all_that_lies_on_a_drawing(record_path):
    """The door is drawn 1000 mm wide; it measures 1100: all lengths ×1.1, all areas ×1.21."""
    was = drawn(record_path, "side_out")
    at = on("calibrate", "left", BoardState(scale=[(0, 0), (1000, 0)], distance_mm=1100, aim="scale"))
    assert "1.1000" in words(at)
    press(at, "calibrate_save")
    record = RecordFile(record_path).record()
    assert drawn(record_path, "side_out") == pytest.approx(was * 1.21, rel=1e-9)
    assert (record.stack["s1"].x, record.stack["s1"].y) == (pytest.approx(1650), pytest.approx(440))
    assert "1100 mm" in (record.drawing["left"].scale_from or "")
    assert record.zone["flange"] == small_record().zone["flange"], "another drawing stays"


def test_calibrating_an_outline_is_undone_as_a_whole(record_path):
    shape = OutlineShape(drawing_id="left", kind="glass", shape=rectangle(100, 700, 900, 1100))
    RecordFile(record_path).append([Put(shape)], by="Ben", why="drawn", at=AT, expect=None)
    before = RecordFile(record_path).record()
    at = press(
        on("calibrate", "left", BoardState(scale=[(0, 0), (1000, 0)], distance_mm=2000, aim="scale")), "calibrate_save"
    )
    (moved,) = RecordFile(record_path).record().outline
    assert moved.shape == rectangle(200, 1400, 1800, 2200)
    press(at, "undo_drawing")
    assert RecordFile(record_path).record() == before


def test_a_zone_is_split_where_a_line_is_touched(record_path):
    was = drawn(record_path, "side_out")
    at = on("cut", "left", BoardState(line=[(1500, 500), (2500, 500)]))
    assert "new" in tables(at)
    for box in at.text_input:
        if box.label.startswith("Your answer"):
            box.input("yes, looked at").run()
    press(at, "cut_save")
    record = RecordFile(record_path).record()
    assert drawn(record_path, "side_out") == pytest.approx(2000 * 700)
    assert drawn(record_path, "side_out_2") == pytest.approx(2000 * 500)
    assert was == pytest.approx(2000 * 1200)
    assert record.stack["s1"].zone_id == "side_out_2", "it lies below the line"
    press(at, "undo_drawing")
    assert RecordFile(record_path).record().zones == small_record().zones


def test_a_surface_ratio_that_was_measured_on_the_whole_is_asked_about(record_path):
    at = press(on("cut", "left", BoardState(line=[(500, 100), (500, 1100)])), "cut_save")
    assert "an answer to every question" in words(at)
    assert drawn(record_path, "door_out") == pytest.approx(1.2e6)
    for box in at.text_input:
        if box.label.startswith("Your answer"):
            box.input("yes: crowned alike").run()
    press(at, "cut_save")
    assert drawn(record_path, "door_out") == pytest.approx(0.6e6)
    assert "Answered: yes: crowned alike" in RecordFile(record_path).journal()[-1].why


def test_zones_with_unlike_parts_are_not_merged(record_path):
    at = on("join", "left", said={"join_zones": ["door_out", "side_out"]})
    assert "different parts" in words(at)


def test_zones_of_one_part_are_merged(record_path):
    at = on("join", "left", said={"join_zones": ["side_out", "side_low"]})
    for box in at.text_input:
        if box.label.startswith("Your answer"):
            box.input("yes").run()
    press(at, "join_save")
    assert drawn(record_path, "side_out") == pytest.approx(2000 * 1500)
    assert "side_low" not in RecordFile(record_path).record().zone


def test_a_side_is_mirrored_to_a_twin(record_path):
    at = on("join", "left", said={"join_way": "mirror"})
    for box in at.text_input:
        if box.label.startswith("Your answer"):
            box.input("nothing to be kept there").run()
    press(at, "join_save")
    record = RecordFile(record_path).record()
    (twin,) = [drawing for drawing in record.drawings if drawing.mirror_of == "left"]
    assert twin.name == "Right side"
    assert len(record.zones_on[twin.drawing_id]) == 3
    assert not [stack for stack in record.stacks if stack.zone_id not in small_record().zone], "evidence is not mirrored"


def test_a_side_whose_twin_is_drawn_says_so_and_offers_nothing_to_save(record_path):
    at = on("join", "left", said={"join_way": "mirror"})
    for box in at.text_input:
        if box.label.startswith("Your answer"):
            box.input("nothing to be kept there").run()
    press(at, "join_save")
    (twin,) = [drawing for drawing in RecordFile(record_path).record().drawings if drawing.mirror_of == "left"]
    for side in ("left", twin.drawing_id):
        at = on("join", side, said={"join_way": "mirror"})
        assert "is drawn already" in "\n".join(box.value for box in at.info)
        assert not [button for button in at.button if button.key == "join_save"]


def test_an_overlap_is_mended_by_one_touch(record_path):
    low = small_record().zone["side_low"]
    wide = low.model_copy(update={"shape": rectangle(1000, -300, 3000, 5)})
    RecordFile(record_path).append([Put(wide)], by="Ben", why="drawn too high", at=AT, expect=None)
    at = on("tidy", "left")
    assert "1 overlap" in words(at)
    assert "10000 mm²" in words(at)  # 2000 mm by 5
    press(at, "tidy_mend_1")
    assert drawn(record_path, "side_low") == pytest.approx(2000 * 300)
    assert "No gaps" in "\n".join(box.value for box in at.success)


def test_a_hidden_face_is_laid_in_free_room_and_says_what_hides_it(record_path):
    said = {
        "hidden_part": "side",
        "hidden_length": 400.0,
        "hidden_width": 25.0,
        "hidden_covers": ["door"],
        "hidden_gap": "yes",
    }
    at = on("hidden", "inner", said=said)
    press(at, "hidden_save")
    record = RecordFile(record_path).record()
    assert drawn(record_path, "side_flange") == pytest.approx(400 * 25)
    assert record.zone["side_flange"].drawing_id == "inner"
    (cover,) = record.covers_of["side_flange"]
    assert (cover.part_id, cover.gap) == ("door", True)


def test_what_hides_a_face_is_asked_and_a_blank_is_not_an_answer(record_path):
    said = {"hidden_part": "side", "hidden_length": 400.0, "hidden_width": 25.0}
    at = press(on("hidden", "inner", said=said), "hidden_save")
    assert "an answer to every question" in words(at)
    assert "side_flange" not in RecordFile(record_path).record().zone


@pytest.mark.parametrize(("points", "kind"), [([(0.0, 0.0), (1000.0, 0.0)], "LineString"), ([(500.0, 600.0)], "Point")])
def test_a_datum_is_drawn_to_measure_from(record_path, points, kind):
    before = RecordFile(record_path).record().datums
    at = on("datum", "left", BoardState(line=points), {"datum_name": "Lower edge of the door"})
    press(at, "datum_save")
    (datum,) = [one for one in RecordFile(record_path).record().datums if one not in before]
    assert (datum.name, datum.drawing_id, datum.shape.type) == ("Lower edge of the door", "left", kind)
    at = on("datum", "left")
    assert "Lower edge of the door" in words(at)


def test_a_new_drawing_is_made(record_path):
    at = on("cut", "+")
    by_label(at.text_input, "Name of the drawing *").input("Tail").run()
    press(at, "drawing_save")
    drawing = RecordFile(record_path).record().drawing["tail"]
    assert (drawing.name, drawing.kind, drawing.schematic) == ("Tail", "outside", True)


def test_a_change_by_somebody_else_is_told_and_nothing_is_lost(record_path):
    at = on("cut", "left", BoardState(line=[(1500, 500), (2500, 500)]))
    theirs = small_record().zone["side_out"].model_copy(update={"name": "Theirs"})
    RecordFile(record_path).append([Put(theirs)], by="Ben", why="seen better", at=AT, expect=None)
    at.button(key="cut_save").click().run()
    assert len([zone for zone in RecordFile(record_path).record().zones if isinstance(zone, Zone)]) == 4
    assert at.session_state[key_of(Desk)].boards["cut", "left"].line, "the line is still there"


def test_an_open_folder_is_shown_and_not_changed(tmp_path, monkeypatch):
    folder = tmp_path / "van"
    write_folder(folder, small_record(), (), {})
    monkeypatch.setattr(sys, "argv", ["app.py", str(folder)])
    at = on("cut")
    assert not [button for button in at.button if button.label == "Save to the record"]


def test_touched_points_snap_to_corners_and_close_the_ring():
    board = BoardState(corners=((0.0, 0.0), (100.0, 0.0)), reach=5.0)
    for point in ((1.0, 1.0), (98.0, 2.0), (50.0, 40.0), (2.0, -1.0)):
        board.line, board.closed = board.line, board.closed
        _set(board, point)
    assert board.line == [(0.0, 0.0), (100.0, 0.0), (50.0, 40.0)]
    assert board.closed


def _set(board: BoardState, point: tuple[float, float]) -> None:
    import streamlit as st

    st.session_state.setdefault("workspace", Workspace())
    board.set_point(point)
