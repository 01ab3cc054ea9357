"""The mask brief as a record: its figures against arithmetic done apart from it, and nothing said that is not stated."""

from __future__ import annotations

import math

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from bodymap.errors import Faults
from bodymap.geometry.convert import to_shapely
from bodymap.model import Area, Datum, Finding, Setting, Shape, Step
from bodymap.settings import in_force
from bodymap.views.brief import brief_view
from bodymap.views.brief_dimensions import half_mm
from bodymap.views.brief_pieces import letters, tape_for
from bodymap.views.cautions import CAUTIONS, cautions_for
from bodymap.views.edge_words import EDGE_WORDS, edge_words
from bodymap.views.paper import text_box
from tests.views.brief_specimen import (
    AREAS,
    BADGE,
    BLANK,
    FLANGE,
    PANEL,
    WITNESS,
    circle,
    line,
    point,
    rect,
    van,
)

DEFAULTS = in_force()


def brief_of(area, *more, **how):
    record = van(*more, areas=how.pop("areas", (area,)), **how)
    return brief_view(record, DEFAULTS, only=[area.area_id]).areas[0]


def fact(area_brief, label):
    return dict(area_brief.facts)[label]


# --- pieces and tape ----------------------------------------------------------------------------------------------------


def test_a_rectangle_has_four_straight_pieces_and_its_sides_are_told_as_drawn():
    pieces = brief_of(WITNESS).pieces
    assert [piece.letter for piece in pieces] == ["A", "B", "C", "D"]
    assert sorted(piece.length_mm for piece in pieces) == pytest.approx([60, 60, 200, 200])
    assert {piece.least_radius_mm for piece in pieces} == {None}
    middle = {piece.stays: shapely.LineString(piece.coordinates).centroid.coords[0] for piece in pieces}
    assert middle == {"above": (3400, 900), "left": (3500, 930), "below": (3400, 960), "right": (3300, 930)}


def test_the_side_of_a_hole_is_outside_it():
    ring = {"type": "Polygon", "coordinates": [
        [[0, 0], [900, 0], [900, 900], [0, 900], [0, 0]],
        [list(spot) for spot in reversed(circle(450, 450, 200).coordinates[0])],
    ]}  # fmt: skip
    area = Area(area_id="H", drawing_id="left", purpose="keep", shape=Shape.model_validate(ring))
    assert [piece.stays for piece in brief_of(area).pieces if piece.closed] == ["outside"]


def test_tape_is_the_sum_of_the_pieces_and_the_lap():
    # Common practice, no source: 10 % tape lap. 2 × (200 + 60) mm by hand.
    view = brief_view(van(), DEFAULTS)
    witness = view.areas[0]
    assert [(row.tape, row.length_m) for row in witness.tape] == [("fine-line tape 6 mm", pytest.approx(0.520 * 1.10))]
    assert witness.behind_m == pytest.approx(0.520 * 1.10)
    perimeter = sum(to_shapely(area.shape).length for area in AREAS) / 1000
    assert sum(row.length_m for row in view.tape) == pytest.approx(perimeter * 1.10)
    assert sum(area.boundary_mm for area in view.areas) == pytest.approx(perimeter * 1000)


@settings(deadline=None)
@given(st.floats(0, 100), st.sets(st.integers(0, len(AREAS) - 1), min_size=1))
def test_tape_follows_the_lap_of_the_record(lap, chosen):
    own = in_force([Setting(key="tape_lap_pct", value=repr(lap), basis="own trial")])
    areas = tuple(AREAS[number] for number in sorted(chosen))
    view = brief_view(van(areas=areas), own)
    perimeter = sum(to_shapely(area.shape).length for area in areas) / 1000
    assert sum(row.length_m for row in view.tape) == pytest.approx(perimeter * (1 + lap / 100))


@pytest.mark.parametrize(
    ("radius", "tape"),
    [(None, "6 mm"), (150, "6 mm"), (149, "3 mm"), (50, "3 mm"), (49, "1.5 mm"), (20, "1.5 mm"), (19, "cut film")],
)
def test_the_widest_tape_that_follows_a_radius(radius, tape):
    # Least radii 20, 50 and 150 mm: the defaults of the settings (common practice, no source).
    assert tape_for(edge_words("hard"), radius, DEFAULTS).endswith(tape)


def test_a_badge_of_45_mm_radius_takes_the_narrowest_fine_line():
    (piece,) = brief_of(BADGE).pieces
    assert piece.closed
    assert piece.length_mm == pytest.approx(2 * math.pi * 45, rel=1e-3)
    assert piece.least_radius_mm == pytest.approx(45, rel=0.01)
    assert piece.tape == "fine-line tape 1.5 mm"


@pytest.mark.parametrize("edge", ["soft", "part_edge", "left_in_seal"])
def test_other_edges_take_no_fine_line(edge):
    assert "fine-line" not in tape_for(edge_words(edge), None, DEFAULTS)


def test_tolerances_are_those_of_the_trade_table():
    # Masking table of the trade, common practice, no source: hard ±0.5, soft ±3, part edge ±1, body line ±0.5, seal ±1.
    assert {edge: DEFAULTS.value(words.tolerance_key) for edge, words in EDGE_WORDS.items()} == {
        "hard": 0.5, "soft": 3, "part_edge": 1, "body_line": 0.5, "left_in_seal": 1,
    }  # fmt: skip


def test_letters_go_on_after_z():
    assert letters(703)[25:28] == ("Z", "AA", "AB")
    assert letters(703)[-2:] == ("ZZ", "AAA")
    assert len(set(letters(703))) == 703


# --- film ---------------------------------------------------------------------------------------------------------------


def test_film_is_the_true_surface_and_the_lap():
    # 200 × 60 mm drawn on a zone of ratio 1.04; 20 % lap (common practice, 15–25 %, no source).
    film = brief_of(WITNESS).film
    assert film.surface_m2 == pytest.approx(0.2 * 0.06 * 1.04)
    assert film.with_lap_m2 == pytest.approx(0.2 * 0.06 * 1.04 * 1.20)
    assert film.not_measured == ()


def test_a_ratio_not_measured_is_told_and_what_lies_in_no_zone_is_flat():
    half_out = Area(area_id="X", drawing_id="left", purpose="mask", shape=rect(1500, 400, 200, 100))
    film = brief_of(half_out).film
    # 1500–1550 lies on the door, 1550–1600 in no zone, 1600–1700 on the lower cargo side.
    assert film.not_measured == ("Cargo side, lower", "door")
    assert film.outside_m2 == pytest.approx(0.05 * 0.1)
    assert film.surface_m2 == pytest.approx(0.2 * 0.1)


# --- offsets ------------------------------------------------------------------------------------------------------------


def test_offsets_from_a_level_datum_are_heights_over_it():
    offsets = brief_of(WITNESS).offsets
    # The swage is at y = 790 from x = 900; the witness at y = 900 to 960.
    for one in offsets:
        assert one.offset_mm == pytest.approx(one.y - 790)
        assert one.along_mm == pytest.approx(one.x - 900)
        assert not one.beyond
    assert {round(one.offset_mm) for one in offsets if one.corner} == {110, 170}


def test_the_side_with_most_of_the_boundary_is_plus():
    below = Area(area_id="X", drawing_id="left", purpose="mask", shape=rect(2000, 500, 300, 320))
    offsets = brief_of(below).offsets
    assert {round(one.offset_mm) for one in offsets if one.corner} == {290, -30}


def test_from_a_datum_point_offsets_are_level_and_square():
    hole = Datum(datum_id="hole", drawing_id="left", name="Hinge bolt", shape=point(3250, 880))
    offsets = brief_of(WITNESS, hole).offsets
    assert {(one.along_mm, one.offset_mm) for one in offsets if one.corner} == {(50, 20), (250, 20), (250, 80), (50, 80)}


def test_past_the_end_of_a_datum_is_marked():
    short = Datum(datum_id="short", drawing_id="left", name="Short", shape=line((3300, 1000), (3400, 1000)))
    record = van(short, areas=(WITNESS,))
    far = in_force([Setting(key="datum_reach_mm", value="0", basis="own trial")])
    (brief,) = brief_view(record, far).areas
    assert brief.datum == "Short"
    assert {one.beyond for one in brief.offsets if one.x > 3400} == {True}
    assert {one.beyond for one in brief.offsets if one.x <= 3400} == {False}


def test_a_datum_along_all_of_it_within_reach_is_preferred():
    short = Datum(datum_id="short", drawing_id="left", name="Short", shape=line((3300, 1000), (3400, 1000)))
    assert brief_of(WITNESS, short).datum == "Waist swage"


def test_no_datum_no_offsets():
    record = van(areas=(WITNESS,)).with_kind("datum", ())
    (brief,) = brief_view(record, DEFAULTS).areas
    assert (brief.datum, brief.offsets) == (None, ())


def test_a_datum_without_length_is_no_datum():
    nowhere = Datum(datum_id="d", drawing_id="left", name="Nowhere", shape=line((3300, 890), (3300, 890)))
    assert brief_of(WITNESS, nowhere).datum == "Waist swage"


def test_a_schematic_drawing_gives_estimates_and_no_offset():
    edge = Datum(datum_id="d", drawing_id="sketch", name="Lip", shape=line((0, 0), (2000, 0)))
    brief = brief_of(FLANGE, edge)
    assert brief.estimate
    assert brief.offsets == ()
    assert not [one for one in brief.picture.strokes if one.style == "dimension"]
    assert any(text.startswith("SCHEMATIC DRAWING") for text in brief.banners)


@pytest.mark.parametrize(
    ("value", "text"), [(0, "0"), (0.2, "0"), (-0.2, "0"), (0.3, "0.5"), (123.3, "123.5"), (60, "60"), (-7.6, "-7.5")]
)
def test_lengths_are_told_to_half_a_millimetre(value, text):
    assert half_mm(value) == text


# --- what is said -------------------------------------------------------------------------------------------------------


def test_blanks_are_said_to_be_blank():
    brief = brief_of(BLANK)
    assert fact(brief, "Why it is kept") == "not stated"
    assert fact(brief, "Origin of the edge") == "not stated"
    assert fact(brief, "Hand-work margin").startswith("not stated")
    assert fact(brief, "Decided by") == "nobody has signed for it yet"
    assert fact(brief, "Must look like this").startswith("not stated")
    assert fact(brief, "Gun side").startswith("not stated")
    assert {piece.tolerance_mm for piece in brief.pieces} == {None}
    assert any(text.startswith("EDGE KIND NOT STATED") for text in brief.banners)


def test_what_is_stated_is_told():
    brief = brief_of(WITNESS)
    assert fact(brief, "Why it is kept") == "All coats lie here."
    assert fact(brief, "Hand-work margin").startswith("25 mm round it")
    assert fact(brief, "Decided by") == "keep: owner, 2024-02-01"
    assert fact(brief, "Must look like this") == "Witness in raking light (P12)"
    assert fact(brief, "Zones") == "Cargo side, upper"
    assert fact(brief, "Parts on and over it") == "Cargo side (steel)"
    assert brief.banners == ()


def found(ident, shape, note=None, drawing="left"):
    return Finding(finding_id=ident, drawing_id=drawing, kind="other", note=note, shape=shape)


def test_findings_in_the_area_are_told_and_no_others():
    more = (
        found("F1", point(3400, 930)),
        found("F2", rect(3490, 950, 50, 50), "Not fixed: do not wipe, do not tape"),
        found("F3", rect(3500, 900, 50, 50), "touches the edge only"),
        found("F4", point(100, 100), "elsewhere"),
        found("F5", point(3400, 930), "another drawing", drawing="sketch"),
        found("F6", None, "no place yet"),
    )
    assert fact(brief_of(WITNESS, *more), "Found here") == "F2 other: Not fixed: do not wipe, do not tape · F1 other"
    assert fact(brief_of(WITNESS), "Found here") == "no finding recorded"


def test_many_findings_are_capped_and_counted():
    more = [found(f"F{n:02d}", point(3400, 930), "x" * 60) for n in range(30)]
    said = fact(brief_of(WITNESS, *more), "Found here")
    told = said.count("other:")
    assert 0 < told < 30
    assert said.endswith(f"and {30 - told} more: see the record")
    long = fact(brief_of(WITNESS, found("F1", point(3400, 930), "y" * 900)), "Found here")
    assert long.endswith("… (see the record)")
    assert len(long) < 200


def test_notes_of_its_own_mask_steps_are_told():
    steps = (
        Step(step=5, action="unmask", target=("K4",), note="Open along the seam."),
        Step(step=2, action="mask", target=("K4",), note="Two layers of foil."),
        Step(step=3, action="mask", target=("M1",), note="of another mask"),
        Step(step=4, action="coat", target=("silver",), note="of a coat"),
    )
    brief = brief_of(WITNESS, areas=(WITNESS, PANEL), steps=steps)
    assert (
        fact(brief, "Notes of its mask steps")
        == "step 2 (mask): Two layers of foil. · step 5 (unmask): Open along the seam."
    )
    assert "Notes of its mask steps" not in dict(brief_of(WITNESS).facts)


def test_a_margin_of_nought_is_not_a_blank():
    assert fact(brief_of(WITNESS.model_copy(update={"margin": 0.0})), "Hand-work margin") == "0 mm: stated as none"


def test_an_edge_made_again_is_said_first():
    assert brief_of(PANEL).banners[0].startswith("RE-CREATED EDGE")


def test_a_kept_surface_that_the_plan_would_paint_is_said():
    steps = (Step(step=7, action="coat", target=("silver",)),)
    assert any(text.startswith("NOT MASKED IN STEP 7:") for text in brief_of(WITNESS, steps=steps).banners)


@pytest.mark.parametrize(
    ("area", "steps", "wanted", "not_wanted"),
    [
        (WITNESS, (), {"old finish", "stripper", "dust"}, {"spraying", "old sealer"}),
        (PANEL, (), {"two-pack", "spraying"}, {"stripper", "old sealer", "dust"}),
        (FLANGE, (), {"old finish", "old sealer"}, {"dust"}),
    ],
    ids=["kept with a margin", "mask", "seal that stays"],
)
def test_cautions_are_those_the_job_calls_for(area, steps, wanted, not_wanted):
    said = brief_of(area, steps=steps).cautions
    assert {CAUTIONS[key] for key in wanted} <= set(said)
    assert not {CAUTIONS[key] for key in not_wanted} & set(said)
    assert said[-1] == CAUTIONS["always"]


def test_an_unknown_kind_of_work_is_refused():
    with pytest.raises(KeyError, match="welding"):
        cautions_for({"welding"})


def test_only_some_areas_in_the_order_of_the_record():
    assert [one.area_id for one in brief_view(van(), DEFAULTS, only=["M1", "K4"]).areas] == ["K4", "M1"]
    with pytest.raises(KeyError):
        brief_view(van(), DEFAULTS, only=["none"])


def test_nothing_to_mask():
    view = brief_view(van(areas=()), DEFAULTS)
    assert (view.areas, view.tape, view.film_with_lap_m2) == ((), (), 0)


def test_surfaces_that_cross_themselves_are_refused_all_at_once():
    bow = Shape.model_validate({"type": "Polygon", "coordinates": [[[0, 0], [10, 10], [10, 0], [0, 10], [0, 0]]]})
    areas = (WITNESS, *(WITNESS.model_copy(update={"area_id": f"B{n}", "shape": bow}) for n in (1, 2)))
    with pytest.raises(Faults) as caught:
        brief_view(van(areas=areas), DEFAULTS)
    assert [fault.subject for fault in caught.value.faults] == ["B1", "B2"]


# --- the picture --------------------------------------------------------------------------------------------------------

PLACES = st.tuples(st.floats(0, 3000), st.floats(0, 1400), st.floats(5, 1500), st.floats(5, 900))


@settings(max_examples=60, deadline=None)
@given(PLACES, st.floats(0, 300), st.booleans())
def test_dimensions_tell_the_offsets_and_nothing_lies_on_a_label(place, tilt, round_one):
    x, y, width, height = place
    shape = circle(x, y, min(width, height)) if round_one else rect(x, y, width, height)
    datum = Datum(datum_id="d", drawing_id="left", name="D", shape=line((-2000, 500), (6000, 500 + tilt)))
    area = Area(area_id="A", drawing_id="left", purpose="mask", edge="hard", shape=shape)
    brief = brief_view(van(areas=(area,)).with_kind("datum", (datum,)), DEFAULTS).areas[0]
    picture = brief.picture
    values = {half_mm(abs(one.offset_mm)) for one in brief.offsets}
    assert {label.text for label in picture.labels if label.style == "dimension"} <= values
    boxes = [text_box(label, 0) for label in picture.labels if label.style != "letter"]
    assert not any(one.intersects(other) for number, one in enumerate(boxes) for other in boxes[:number])
    frame = shapely.box(0, 0, picture.width_mm, picture.height_mm)
    assert all(frame.covers(one) for one in boxes)
    inner = shapely.box(1.01, 1.01, picture.width_mm - 1.01, picture.height_mm - 1.01)
    drawn = [shapely.LineString(one) for stroke in picture.strokes if stroke.style == "dimension" for one in stroke.lines]
    whole = [line.length * picture.scale for line in drawn if inner.covers(line)]
    # A dimension line is as long as it says, unless the edge of the picture cuts it short.
    assert all(any(abs(length - float(value)) <= 0.26 for value in values) for length in whole)


def test_an_offset_too_short_for_arrows_inside_gets_them_from_outside():
    # A narrow band 15 to 80 mm under the datum, 840 mm long: 1.5 mm on paper at 1 : 10.
    band = Area(area_id="K3", drawing_id="left", purpose="keep", edge="part_edge", shape=rect(2000, 710, 840, 65))
    picture = brief_of(band).picture
    assert picture.scale == 10
    assert "15" in [label.text for label in picture.labels if label.style == "dimension"]
    lines = [shapely.LineString(one) for stroke in picture.strokes if stroke.style == "dimension" for one in stroke.lines]
    arrows = [one for stroke in picture.strokes if stroke.style == "arrow" for one in stroke.lines]
    short = next(one for one in lines if one.length == pytest.approx(1.5, abs=0.01))
    # Both points of arrows stand at its ends, and their bodies lie outside it.
    mine = [one for one in arrows if short.distance(shapely.Point(one[0])) < 1e-6]
    assert len(mine) == 2
    assert all(short.distance(shapely.Point(spot)) > 1.5 for one in mine for spot in one[1:3])


def test_the_hatch_covers_the_side_that_stays_and_no_other():
    brief = brief_of(WITNESS)
    hatch = next(one for one in brief.picture.strokes if one.style == "hatch")
    stays = next(one for one in brief.picture.strokes if one.style == "stays")
    surface = shapely.Polygon(stays.lines[0])
    assert all(surface.buffer(1e-6).covers(shapely.LineString(one)) for one in hatch.lines)
    assert surface.area * brief.picture.scale**2 == pytest.approx(200 * 60)


def test_the_key_shows_the_whole_drawing_and_rings_what_is_small():
    key = brief_of(WITNESS).key
    xs = [x for stroke in key.strokes for points in stroke.lines for x, _ in points]
    assert min(xs) >= 0
    assert max(xs) <= key.width_mm
    assert {"here", "ring"} <= {stroke.style for stroke in key.strokes}
    large = brief_of(PANEL.model_copy(update={"shape": rect(100, 300, 3500, 1000)}))
    assert "ring" not in {stroke.style for stroke in large.key.strokes}
