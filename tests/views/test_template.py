"""What a full-size template holds and how it is laid on sheets."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from bodymap.errors import BodymapError, Faults
from bodymap.geometry.calibrate import Calibration
from bodymap.geometry.calibrate_drawing import calibrated_drawing
from bodymap.geometry.convert import to_shapely
from bodymap.geometry.starting_shapes import SCHEMATIC
from bodymap.settings import in_force
from bodymap.views.template import template_of
from bodymap.views.template_page import TemplateChoice
from bodymap.views.template_sheets import template_sheets
from bodymap.views.template_whole import template_whole
from tests.views.template_specimen import HOLED, PANEL, RING, panel, polygon, rect

SETTINGS = in_force()


def template(ident, record=None, **how):
    return template_of(record or panel(), ident, SETTINGS, **how)


def sheets(ident, choice=None, record=None, **how):
    return template_sheets(template(ident, record, **how), SETTINGS, choice or TemplateChoice())


def lines_of(one, *styles):
    return [line for ink in one.ink if ink.style in styles for line in ink.lines]


def test_a_schematic_drawing_is_refused_and_the_cure_is_told():
    for ident in ("sketch", "zs"):
        with pytest.raises(BodymapError, match="schematic") as told:
            template(ident)
        for words in ("Roof sketch", "Drawings and zones", "two points", "distance between them on the vehicle"):
            assert words in str(told.value).replace("\n", " ")


def test_a_ready_made_shape_brought_to_scale_says_so_on_every_template():
    record = panel()
    begun = [one.model_copy(update={"scale": "schematic", "scale_from": SCHEMATIC}) for one in record.drawings]
    begun = record.with_kind("drawing", begun)
    ident = record.area["K1"].drawing_id
    words = Calibration(words="two points, 2702 mm apart")
    (calibrated,) = [one for one in calibrated_drawing(begun, ident, words).put if one.KIND == "drawing"]
    assert calibrated.scale_from == "a ready-made starting shape; two points, 2702 mm apart"
    measured = [calibrated if one.drawing_id == ident else one for one in record.drawings]
    for drawings, told in ((measured, True), (record.drawings, False)):
        banners = template("K1", record.with_kind("drawing", drawings)).banners
        assert any("READY-MADE" in banner for banner in banners) == told


def test_an_area_is_its_outer_edge_its_holes_and_its_margin():
    one = template("K1")
    (edge,), (hole,) = lines_of(one, "edge"), lines_of(one, "hole")
    assert shapely.Polygon(edge, [hole]).equals(to_shapely(HOLED))
    assert {len(line) for line in lines_of(one, "hatch")} == {2}
    assert lines_of(one, "margin")
    hatch = shapely.MultiLineString(lines_of(one, "hatch"))
    # The kept lettering beside it is hatched as well.
    assert to_shapely(HOLED).union(to_shapely(rect(50, 50, 20, 20))).buffer(1e-6).covers(hatch)
    assert one.bounds == to_shapely(HOLED).bounds
    assert "STAYS" in one.stays


def test_a_line_is_its_stripe_of_true_width_and_its_centre():
    one = template("stripe_L")
    (edge,) = lines_of(one, "edge")
    centre = shapely.LineString(lines_of(one, "centre")[0])
    assert shapely.Polygon(edge).area == pytest.approx(6 * centre.length, rel=1e-6)
    assert {round(centre.distance(shapely.Point(spot)), 6) for spot in edge} == {3.0}


def test_a_line_without_a_width_is_only_its_centre_and_says_so():
    one = template("bare")
    assert not lines_of(one, "edge")
    assert lines_of(one, "centre") == [((200.0, 600.0), (900.0, 600.0))]
    assert any("WIDTH NOT STATED" in banner for banner in one.banners)


def test_a_zone_and_a_whole_drawing():
    assert lines_of(template("z1"), "edge") == [
        tuple((float(x), float(y)) for x, y in rect(0, 0, 2000, 1800).coordinates[0])
    ]
    whole = template("left")
    assert whole.bounds == (0, 0, 2000, 2000)
    assert len(lines_of(whole, "edge")) == 3  # the three areas
    assert lines_of(whole, "finding")
    assert lines_of(whole, "line")


def test_an_id_of_several_things_has_to_be_told_apart():
    record = panel(PANEL.model_copy(update={"area_id": "z1"}))
    with pytest.raises(BodymapError, match="area:z1 or zone:z1"):
        template("z1", record)
    assert template("zone:z1", record).kind == "zone"
    assert template("area:z1", record).kind == "area"
    with pytest.raises(BodymapError, match=r"found no area, zone, line or drawing 'stripe'.*stripe_L"):
        template("stripe")


def test_a_surface_that_crosses_itself_is_refused():
    bow = PANEL.model_copy(update={"shape": polygon((0, 0), (90, 90), (90, 0), (0, 90))})
    with pytest.raises(Faults, match="K1"):
        template("K1", panel().with_kind("area", [bow]))


# --- mirrored -----------------------------------------------------------------------------------------------------------


def test_mirrored_twice_is_as_drawn_and_text_stays_upright():
    own, other = template("K1"), template("K1", mirror=True)
    middle = (own.bounds[0] + own.bounds[2]) / 2
    turned = [tuple((2 * middle - x, y) for x, y in line) for line in lines_of(other, "edge", "hole", "datum")]
    assert turned == lines_of(own, "edge", "hole", "datum")
    assert other.bounds == own.bounds
    assert any("MIRRORED" in banner for banner in other.banners)
    view = sheets("K1", mirror=True)
    labels = [label for sheet in view.sheets for label in sheet.picture.labels]
    assert labels
    assert all(-90 <= label.turn_deg <= 90 for label in labels)


def test_what_is_written_is_never_mirrored():
    with pytest.raises(BodymapError, match=r"signs: found an area that speaks of lettering .* to be mirrored"):
        template("signs", mirror=True)
    other = template("left", mirror=True)
    assert len(lines_of(other, "edge")) == 2
    assert {note.split(" is left out")[0] for note in other.notes if "left out" in note} == {"signs", "F1"}
    assert not any("Lettering" in name.text for name in other.names)


# --- sheets -------------------------------------------------------------------------------------------------------------


def pieces(view, *styles):
    """What the cores of all sheets show, back in template mm."""
    (fx, fy), found = view.factors, []
    for sheet in view.sheets:
        (x0, y0), (x1, _), (_, y2), _ = sheet.crosses
        core = shapely.box(x0, y2, x1, y0)
        shift = np.array(_shift(view, sheet))
        for stroke in sheet.picture.strokes:
            if stroke.style in styles:
                for line in stroke.lines:
                    inside = shapely.LineString(line).intersection(core)
                    found.append(shapely.transform(inside, lambda xy, shift=shift: xy / (fx, -fy) + shift))
    return shapely.union_all(found)


def _shift(view, sheet):
    """Where the upper left corner of a sheet's window lies in the template, from its name alone."""
    frame, (fx, fy) = view.frame, view.factors
    wide, high = frame.live_width_mm / fx - view.overlap_mm, frame.live_height_mm / fy - view.overlap_mm
    row, column = ord(sheet.name[0]) - ord("A"), int(sheet.name[1:]) - 1
    x0, y0, x1, y1 = view.template.bounds
    rows, columns = -(-(y1 - y0 + 2) // high), -(-(x1 - x0 + 2) // wide)
    left, top = (x0 + x1 - columns * wide) / 2, (y0 + y1 + rows * high) / 2
    return left + column * wide - view.overlap_mm / 2, top - row * high + view.overlap_mm / 2


@pytest.mark.parametrize(
    "choice",
    [
        TemplateChoice(),
        TemplateChoice(paper="A3", landscape=True),
        TemplateChoice(overlap_mm=0),
        TemplateChoice(overlap_mm=25, printed_x_mm=97, printed_y_mm=103.5),
    ],
    ids=["A4", "A3 landscape", "no overlap", "corrected"],
)
@pytest.mark.parametrize("ident", ["K1", "ring"])
def test_the_sheets_together_are_the_thing_itself(choice, ident):
    view = sheets(ident, choice)
    laid, wanted = pieces(view, "edge", "hole"), to_shapely(HOLED if ident == "K1" else RING).boundary
    assert laid.length == pytest.approx(wanted.length, rel=1e-6)
    assert laid.hausdorff_distance(wanted) < 1e-6


def test_sheets_on_which_nothing_lies_are_left_out():
    view = sheets("ring")
    shape = to_shapely(RING)
    assert view.empty > 0
    # A frame 30 mm wide and 1400 mm square: no sheet that is left out touches it, counted again from the names.
    names = {sheet.name for sheet in view.sheets}
    wide, high = view.frame.live_width_mm - view.overlap_mm, view.frame.live_height_mm - view.overlap_mm
    rows, columns = -(-1402 // high), -(-1402 // wide)
    left, top = 800 - columns * wide / 2, 800 + rows * high / 2
    for row in range(int(rows)):
        for column in range(int(columns)):
            core = shapely.box(left + column * wide, top - (row + 1) * high, left + (column + 1) * wide, top - row * high)
            assert (f"{chr(65 + row)}{column + 1}" in names) == core.intersects(shape)


def test_one_plotter_page_holds_all_of_it():
    view = sheets("K1", TemplateChoice(plotter=True))
    (sheet,) = view.sheets
    edge = [shapely.LineString(line) for stroke in sheet.picture.strokes if stroke.style == "edge" for line in stroke.lines]
    assert shapely.union_all(edge).length == pytest.approx(2 * (620 + 540))
    assert (view.frame.width_mm, view.frame.height_mm) < (5080, 5080)
    assert view.overview is None


@pytest.mark.parametrize(("x", "y"), [(89.9, None), (None, 110.1), (50, 300)])
def test_a_bar_that_no_printer_prints_is_refused(x, y):
    with pytest.raises(BodymapError, match="allowed: 90 to 110 mm") as told:
        sheets("K1", TemplateChoice(printed_x_mm=x, printed_y_mm=y))
    assert str(told.value).count("found") == sum(one is not None for one in (x, y))


def test_labels_lie_on_their_sheet_and_never_on_a_cut_edge():
    from bodymap.views.paper import text_box

    view = sheets("left", TemplateChoice(paper="A3"))
    for sheet in view.sheets:
        paper = shapely.box(0, 0, sheet.picture.width_mm, sheet.picture.height_mm)
        edges = [shapely.LineString(line) for one in sheet.picture.strokes if one.style == "edge" for line in one.lines]
        boxes = [text_box(label, 0) for label in sheet.picture.labels]
        for number, box in enumerate(boxes):
            assert paper.covers(box)
            assert not any(box.intersects(edge) for edge in edges)
            assert not any(box.intersects(other) for other in boxes[:number])


def test_in_one_piece_what_is_asked_for_is_whole_and_the_rest_is_cut_near_it():
    whole = template_whole(template("K1"), "128·abc", "2024-05-06")
    (edge,) = [track for track in whole.tracks if track.layer == "CUT_EDGE"]
    assert edge.closed
    assert shapely.Polygon(edge.points).bounds == to_shapely(HOLED).bounds
    for track in whole.tracks:
        if track.layer not in ("CUT_EDGE", "HOLES", "CHECK_100MM"):
            x0, y0, x1, y1 = shapely.LineString(track.points).bounds
            assert x0 >= 970 - 1e-6
            assert x1 <= 1650 + 1e-6
            assert y0 >= 970 - 1e-6
            assert y1 <= 1570 + 1e-6
    assert any("issue 128·abc" in text.text for text in whole.texts)
